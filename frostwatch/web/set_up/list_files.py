"""A list out of a form: what was typed, or a file in its place."""

from starlette.datastructures import FormData, UploadFile

from frostwatch.storage.workbooks import MOST_BYTES, is_workbook, list_from_workbook
from frostwatch.web.set_up.draft import faults_of
from frostwatch.web.set_up.fault import Fault

LONGEST_LIST = 1_500_000


def list_of(form: FormData, before: str) -> tuple[str, Fault | None]:
    """The list that was typed, or the file in its place; a file that cannot be read leaves both.

    Args:
        form: with a field ``list`` and a file ``file``.
        before: the list so far.
    """
    file = form.get("file")
    if not isinstance(file, UploadFile) or not file.filename:
        return str(form.get("list", ""))[:LONGEST_LIST], None
    data = file.file.read(MOST_BYTES + 1)
    if is_workbook(data):
        read = list_from_workbook(data)
        if isinstance(read, str):
            return read, None
        fault = faults_of(read)[0]
        return before, Fault(field="file", key=fault.key, values=fault.values)
    try:
        return data[:LONGEST_LIST].decode("utf-8-sig"), None
    except UnicodeDecodeError:
        return before, Fault(field="file", key="set.file.unread")
