"""A form as a browser holds it: what the page shows is what is sent."""

from __future__ import annotations

from dataclasses import dataclass
from html.parser import HTMLParser

from django.http import HttpResponse
from django.test import Client


@dataclass
class Opened:
    browser: Client
    address: str
    fields: dict[str, list[str]]


class FormsOfPage(HTMLParser):
    """Names and values of every post form, and where it leads."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[dict[str, list[str]]] = []
        self.actions: list[str] = []
        self.inside = self.select = self.area = None

    def handle_starttag(self, tag, attributes):
        said = dict(attributes)
        if tag == "form":
            self.inside = {} if said.get("method") == "post" else None
            self.action = said.get("action") or ""
        if self.inside is None:
            return
        name = said.get("name")
        if tag == "input" and name:
            if said.get("type") not in ("checkbox", "radio") or "checked" in said:
                box = said.get("type") == "checkbox"
                self.inside.setdefault(name, []).append(said.get("value") or "on" * box)
        elif tag == "select":
            self.select = name
        elif tag == "option" and self.select and "selected" in said:
            self.inside.setdefault(self.select, []).append(said.get("value") or "")
        elif tag == "textarea":
            self.area = name
            self.inside[name] = [""]

    def handle_data(self, words):
        if self.inside is not None and self.area:
            self.inside[self.area][0] += words

    def handle_endtag(self, tag):
        if tag == "form" and self.inside is not None:
            self.forms.append(self.inside)
            self.actions.append(self.action)
            self.inside = None
        elif tag == "select":
            self.select = None
        elif tag == "textarea":
            if self.area:  # a browser drops the first line break
                self.inside[self.area][0] = self.inside[self.area][0].removeprefix("\n")
            self.area = None


def opened(
    browser: Client, address: str, page: HttpResponse | None = None, holding: str = ""
) -> Opened:
    """The page's largest form, or the first that holds a field, as it stands there."""
    reader = FormsOfPage()
    reader.feed((page or browser.get(address)).text)
    found = [fields for fields in reader.forms if holding in fields]
    return Opened(browser, address, found[0] if holding else max(reader.forms, key=len))


def send(form: Opened, **changes: str | list[str]) -> HttpResponse:
    return form.browser.post(form.address, form.fields | changes)
