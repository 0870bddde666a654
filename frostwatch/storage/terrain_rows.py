"""Heights looked up, each place once."""

from collections.abc import Mapping, Sequence

from sqlalchemy import delete, select

from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import Database
from frostwatch.storage.tables import table_of
from frostwatch.storage.terrain_tables import TerrainRow
from frostwatch.weather.terrain import Terrain

_terrain = table_of(TerrainRow)


class SqlTerrain:
    """Heights on a database. Implements ``ports.TerrainStore``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def keep(self, terrains: Sequence[Terrain]) -> None:
        """Store what was said, in place of what was said before."""
        with self._database.writing() as connection:
            for one in terrains:
                connection.execute(delete(_terrain).where(_terrain.c.place == one.place))
                row = {"place": one.place, "body": to_body(Terrain, one)}
                connection.execute(_terrain.insert().values(row))

    def known(self, places: Sequence[str]) -> Mapping[str, Terrain]:
        """Place -> what was said; places never asked for are left out."""
        wanted = select(_terrain.c.place, _terrain.c.body).where(_terrain.c.place.in_(places))
        with self._database.reading() as connection:
            rows = connection.execute(wanted).all()
        return {
            row.place: from_body(Terrain, row.body, where=f"the height of {row.place}")
            for row in rows
        }
