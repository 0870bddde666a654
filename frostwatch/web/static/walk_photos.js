// Photographs of a walk: made smaller, kept on this phone, and sent when every record has arrived.
const NAME = "frostwatch-photos";
const LONGEST_PX = 1600;
const QUALITY = 0.8;

let opened;

function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("photos", { keyPath: "id" }).createIndex("round", "round");
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function during(mode, work) {
  const db = await database();
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(["photos"], mode, { durability: "strict" });
    const answer = work(transaction.objectStore("photos"));
    transaction.oncomplete = () => resolve(answer.result);
    transaction.onerror = transaction.onabort = () => reject(transaction.error);
  });
}

// Drawn anew at most so long, upright; that leaves out whatever else the camera wrote. What this
// browser cannot open goes as it is: the server says what it makes of it.
async function reduced(file) {
  try {
    const drawn = await createImageBitmap(file);
    const scale = Math.min(1, LONGEST_PX / Math.max(drawn.width, drawn.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(drawn.width * scale));
    canvas.height = Math.max(1, Math.round(drawn.height * scale));
    canvas.getContext("2d").drawImage(drawn, 0, 0, canvas.width, canvas.height);
    drawn.close();
    return (await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY))) || file;
  } catch {
    return file;
  }
}

// The photographs of one round on this phone.
//   at.token()    what a sending shows
//   at.time()     what the clock of the round says
//   at.renew()    asks for a new token
//   at.waits()    whether a record is still to be sent: then no photograph goes
//   at.told()     something changed that is to be shown
export function photographs(code, at) {
  const bag = { kept: [], refused: "", carrying: null };

  bag.load = async () => {
    const all = await during("readonly", (store) => store.index("round").getAll(code));
    bag.kept = all.sort((a, b) => a.order - b.order);
  };

  bag.add = async (made, file) => {
    const picture = await reduced(file);
    const bytes = await picture.arrayBuffer();
    const photo = { ...made, round: code, order: Date.now(), kind: picture.type, bytes };
    await during("readwrite", (store) => store.put(photo));
    bag.kept.push(photo);
  };

  bag.of = (vehicle) => bag.kept.filter((one) => one.vehicle === vehicle).length;

  // A record that is pressed meanwhile goes first.
  bag.giveWay = () => bag.carrying?.abort();

  // Returns whether the server could be reached.
  bag.send = async () => {
    if (bag.carrying) return true;
    bag.carrying = new AbortController();
    at.told();
    try {
      while (bag.kept.length && !at.waits()) {
        if (!(await carry(bag.kept[0], bag.carrying.signal))) break;
        at.told();
      }
      return true;
    } catch {
      return bag.carrying.signal.aborted;
    } finally {
      bag.carrying = null;
      at.told();
    }
  };

  async function carry(photo, signal, again = false) {
    const form = new FormData();
    form.set("form_token", at.token());
    form.set("sent_at", at.time());
    for (const name of ["id", "vehicle", "at"]) form.set(name, photo[name]);
    form.set("photo", new Blob([photo.bytes], { type: photo.kind }), "photo");
    const address = `/walk/${code}/photos`;
    const answer = await fetch(address, { method: "POST", body: form, redirect: "manual", signal });
    if ((answer.status === 400 || answer.status === 403) && !again) {
      await at.renew();
      return carry(photo, signal, true);
    }
    if (answer.status === 422) bag.refused = (await answer.json()).refused;
    else if (answer.status === 413) bag.refused = at.heavy();
    else if (!answer.ok) return false;
    await during("readwrite", (store) => store.delete(photo.id));
    bag.kept = bag.kept.filter((one) => one.id !== photo.id);
    return true;
  }

  return bag;
}

// What is said of them: what waits, what is on its way, what was refused.
export function photoWords(bag, words, fill) {
  const n = bag.kept.length;
  const forms = bag.carrying && n ? words.photosSending : words.photosKept;
  const waits = n ? fill(forms[n === 1 ? 0 : 1], { n }) : "";
  const refused = bag.refused ? fill(words.photoNotKept, { why: bag.refused }) : "";
  return [waits, refused].filter(Boolean).join(" ");
}
