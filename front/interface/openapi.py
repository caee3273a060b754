"""The document of the interface: OpenAPI 3.1.0, made from the resources themselves."""

from __future__ import annotations

from typing import Any

from front.interface.asking import MOST, MOST_KEY, USUAL
from front.interface.fields import Field, Resource
from front.interface.problems import CONTENT_TYPE, TITLES
from front.interface.resources import MONTH_FIELDS, RESOURCES, SCOPES

VERSION = "1.0.0"
BASE = "/interface/v1"
ABOUT = (
    "Reads one branch of Redbud. Amounts are US dollars as text with two decimals; days are of the "
    "branch's clock, moments are UTC. Lists come in pages by number: follow `next` until it is "
    "null. An unknown filter is refused, never ignored. Gate codes and notes about the way into a "
    "home are not given. Nothing can be changed here."
)


def document(server: str) -> dict[str, Any]:
    """The whole document; `server` is the address that it was asked at."""
    paths: dict[str, Any] = {}
    for resource in RESOURCES.values():
        paths[f"{BASE}/{resource.name}"] = {"get": _list_of(resource)}
        paths[f"{BASE}/{resource.name}/{{id}}"] = {"get": _one_of(resource)}
    paths[f"{BASE}/revenue"] = {"get": _revenue()}
    return {
        "openapi": "3.1.0",
        "info": {"title": "Redbud, read only", "version": VERSION, "description": ABOUT},
        "servers": [{"url": server}],
        "security": [{"key": []}],
        "tags": [{"name": name, "description": about} for name, about in SCOPES.items()],
        "paths": paths,
        "components": {
            "securitySchemes": {"key": {
                "type": "http", "scheme": "bearer",
                "description": "Made by the owner under Files, Keys.",
            }},
            "schemas": _schemas(),
            "responses": {f"{status}": _problem(title) for status, title in TITLES.items()},
        },
    }  # fmt: skip


def _schemas() -> dict[str, Any]:
    found = {_title(one): _object(one.fields) for one in RESOURCES.values()}
    found["RevenueMonth"] = _object(MONTH_FIELDS)
    found["Problem"] = {
        "type": "object",
        "description": "RFC 9457",
        "properties": {
            "type": {"type": "string"},
            "title": {"type": "string"},
            "status": {"type": "integer"},
            "detail": {"type": "string"},
        },
        "required": ["type", "title", "status", "detail"],
    }
    return found


def _object(fields: tuple[Field, ...]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {field.name: field.schema() for field in fields},
        "required": [field.name for field in fields],
        "additionalProperties": False,
    }


def _title(resource: Resource) -> str:
    return "".join(word.capitalize() for word in resource.one.split())


def _list_of(resource: Resource) -> dict[str, Any]:
    listed = {"type": "array", "items": {"$ref": f"#/components/schemas/{_title(resource)}"}}
    following = {"type": ["string", "null"], "description": "Address of the next page"}
    return {
        "operationId": f"list_{resource.name.replace('-', '_')}",
        "tags": [resource.scope],
        "summary": f"{resource.about} Needs the scope “{resource.scope}”.",
        "parameters": [*_PAGE, *(_days(resource.day) if resource.day else [])],
        "responses": _answers({"data": listed, "next": following}, 400, 401, 403, 405, 429),
    }


def _one_of(resource: Resource) -> dict[str, Any]:
    number = {"type": "integer", "minimum": 0, "maximum": MOST_KEY}
    data = {"$ref": f"#/components/schemas/{_title(resource)}"}
    return {
        "operationId": f"one_of_{resource.name.replace('-', '_')}",
        "tags": [resource.scope],
        "summary": f"One {resource.one}. Needs the scope “{resource.scope}”.",
        "parameters": [{"name": "id", "in": "path", "required": True, "schema": number}],
        "responses": _answers({"data": data}, 400, 401, 403, 404, 405, 429),
    }


def _revenue() -> dict[str, Any]:
    listed = {"type": "array", "items": {"$ref": "#/components/schemas/RevenueMonth"}}
    return {
        "operationId": "revenue_by_month",
        "tags": ["money"],
        "summary": "Billed, earned and deferred by month, until today or `last`. Needs the scope "
        "“money”.",
        "parameters": _days("the month"),
        "responses": _answers({"data": listed}, 400, 401, 403, 405, 429),
    }


_PAGE = [
    {"name": "cursor", "in": "query", "description": "Stands in `next` of the page before",
     "schema": {"type": "integer", "minimum": 0, "maximum": MOST_KEY}},
    {"name": "limit", "in": "query", "description": "Rows of a page",
     "schema": {"type": "integer", "minimum": 1, "maximum": MOST, "default": USUAL}},
]  # fmt: skip


def _days(column: str) -> list[dict[str, Any]]:
    return [
        {"name": name, "in": "query", "schema": {"type": "string", "format": "date"},
         "description": f"{words} of {column}"}
        for name, words in (("first", "First day"), ("last", "Last day"))
    ]  # fmt: skip


def _answers(properties: dict[str, Any], *refusals: int) -> dict[str, Any]:
    schema = {"type": "object", "properties": properties, "required": list(properties)}
    right = {"description": "What was asked", "content": {"application/json": {"schema": schema}}}
    others = {f"{status}": {"$ref": f"#/components/responses/{status}"} for status in refusals}
    return {"200": right} | others


def _problem(title: str) -> dict[str, Any]:
    schema = {"$ref": "#/components/schemas/Problem"}
    return {"description": title, "content": {CONTENT_TYPE: {"schema": schema}}}
