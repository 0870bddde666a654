"""Routes of the pages, put into an app."""

from fastapi import APIRouter, FastAPI


def take_in(app: FastAPI, *routers: APIRouter) -> None:
    """Put the routes of routers into an app, just as they stand.

    ``include_router`` would work out the parameters of each route once more for every app, on its
    first request: 50 ms for all pages. These routes take no prefix, tag or dependency from the app,
    so that what was worked out on import serves every app of the process.
    """
    for router in routers:
        app.router.routes.extend(router.routes)
