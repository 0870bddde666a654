"""The table of heights looked up. See ``storage.tables``."""

from sqlalchemy import Text
from sqlmodel import Field

from frostwatch.storage.tables import Base


class TerrainRow(Base, table=True):
    """The ground about one place as it was looked up, or why it could not be."""

    __tablename__ = "terrain"

    place: str = Field(primary_key=True)
    body: str = Field(sa_type=Text)
