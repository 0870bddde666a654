// What a phone keeps of its rounds: every press until the server has it, and the round itself.
const NAME = "frostwatch";

let opened;

function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("presses", { keyPath: "id" }).createIndex("round", "round");
      asked.result.createObjectStore("rounds", { keyPath: "code" });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function during(stores, mode, work) {
  const db = await database();
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(stores, mode, { durability: "strict" });
    let answer;
    transaction.oncomplete = () => resolve(answer?.result);
    transaction.onerror = transaction.onabort = () => reject(transaction.error);
    answer = work(transaction);
  });
}

// Presses of a round that are not known to the server, in the order they were pressed.
export async function waiting(code) {
  const all = await during(["presses"], "readonly", (t) =>
    t.objectStore("presses").index("round").getAll(code),
  );
  return all.sort((a, b) => a.order - b.order);
}

export function keepPress(press) {
  return during(["presses"], "readwrite", (t) => t.objectStore("presses").put(press));
}

// A press that never left the phone is taken back by forgetting it.
export function forgetPress(id) {
  return during(["presses"], "readwrite", (t) => t.objectStore("presses").delete(id));
}

export async function roundOf(code) {
  return during(["rounds"], "readonly", (t) => t.objectStore("rounds").get(code));
}

// The round as the server knows it, and the presses it knows by now, in one step.
export function settle(state, kept, refused) {
  return during(["presses", "rounds"], "readwrite", (t) => {
    const presses = t.objectStore("presses");
    for (const id of kept) presses.delete(id);
    for (const [id, why] of Object.entries(refused)) {
      const asked = presses.get(id);
      asked.onsuccess = () => asked.result && presses.put({ ...asked.result, refused: why });
    }
    if (state) t.objectStore("rounds").put(state);
  });
}
