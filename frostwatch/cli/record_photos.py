"""A vehicle's photographs written into a folder."""

from pathlib import Path
from typing import TYPE_CHECKING

from frostwatch.errors import RecordError

if TYPE_CHECKING:
    from frostwatch.ports.photos import Photos


def write_photos(store: "Photos", vehicle: str, folder: Path, *, as_json: bool) -> None:
    """Write a vehicle's photographs, and the list that says what they are.

    Raises:
        RecordError: there are none, or the folder cannot be written to.
    """
    from frostwatch.cli.say import say, say_json
    from frostwatch.storage.photo_files import LIST, files_of

    if not store.of_vehicle(vehicle):
        raise RecordError(f"{vehicle} has no photographs. They are added on its page or a walk.")
    names = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files_of(store, vehicle):
            (folder / name).write_bytes(content)
            names.append(name)
    except OSError as fault:
        raise RecordError(
            f"--photos: {folder} cannot be written to ({fault.strerror}). Name another folder."
        ) from fault
    if as_json:
        say_json({"vehicle": vehicle, "folder": str(folder), "files": names})
        return
    count = len(names) - 1
    counted = "1 photograph" if count == 1 else f"{count} photographs"
    say(f"{vehicle}: {counted} written to {folder}, with {LIST}.")
