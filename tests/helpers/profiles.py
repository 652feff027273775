"""Browser profiles that tests share: one after the other has one to itself, emptied, with a tab as of a first visit.

A new profile fetches everything again, and a new tab starts a process: half of what a page costs. Only files that the
browser keeps, as style sheets, are still there. A tab to which a test did what lasts is closed after it.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from playwright.sync_api import Error

from helpers.site import Watch, answer_here, new_context, watched_context

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, BrowserContext, Page

LASTING = ("add_init_script", "expose_binding", "expose_function", "on", "once", "route")
"""Methods of a page whose effect has no end but the page's."""
USUAL = {"width": 1280, "height": 720}
"""The window's size where none is asked for, in CSS pixels."""


@dataclass(slots=True)
class Profile:
    """A browser profile with one tab; free once its test is over."""

    context: BrowserContext
    options: dict[str, Any]
    watch: Watch
    tab: Page | None = None
    free: bool = False

    @contextmanager
    def emptied(self, watch: Watch) -> Iterator[Page]:
        """Give a page of which nothing is known; its faults, and those of further pages, are noted by `watch`."""
        self.free = False
        self.watch.faults, self.watch.expected = watch.faults, watch.expected
        page = self._opened()
        browser = self.context.new_cdp_session(page)
        for origin in self.watch.origins:
            browser.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})
        browser.detach()
        self.watch.origins.clear()
        self.context.clear_permissions()
        answer_here(self.context)
        try:
            yield page
        except BaseException:
            self.tab = None
            raise
        finally:
            self._left()
            self.free = True

    def _opened(self) -> Page:
        if self.tab is None:
            self.tab = self.context.new_page()
            for name in LASTING:
                setattr(self.tab, name, self._closed_after(getattr(self.tab, name)))
        return self.tab

    def _closed_after(self, method: Any) -> Any:
        def noted(*given: Any, **named: Any) -> Any:
            self.tab = None
            return method(*given, **named)

        return noted

    def _left(self) -> None:
        """Close the test's pages and leave its tab as a new one; what cannot be left so is closed too."""
        if self.tab is not None and not self._blank(self.tab):
            self.tab = None
        for one in self.context.pages:
            if one is not self.tab:
                one.close()
        self.context.unroute_all()

    def _blank(self, tab: Page) -> bool:
        """Whether nothing of the test is left in the tab."""
        if tab.is_closed() or len(self.watch.origins) != 1 or not tab.url.startswith(min(self.watch.origins)):
            return False
        try:
            tab.evaluate("sessionStorage.clear()")
            tab.goto("about:blank")
            tab.set_viewport_size(self.options.get("viewport", USUAL))
            tab.emulate_media(
                media="null",
                color_scheme=self.options.get("color_scheme", "light"),
                reduced_motion=self.options.get("reduced_motion", "no-preference"),
                forced_colors="none",
                contrast="no-preference",
            )
        except Error:
            return False
        return True


_PROFILES: WeakKeyDictionary[Browser, list[Profile]] = WeakKeyDictionary()


@contextmanager
def watched_page(browser: Browser, watch: Watch, *, fresh: bool = False, **options: Any) -> Iterator[Page]:
    """Open one watched page (`viewport`, `has_touch`…) in a profile that is emptied, or in a `fresh` one.

    With `offline`, `pyodide` or a `storage_state` the profile is fresh too, as for a first visit.
    """
    if fresh or options.keys() & {"offline", "pyodide", "storage_state"}:
        with watched_context(browser, watch, **options) as context:
            yield context.new_page()
        return
    profiles = _PROFILES.setdefault(browser, [])
    profile = next((one for one in profiles if one.free and one.options == options), None)
    if profile is None:
        noting = Watch()
        profile = Profile(new_context(browser, noting, **options), options, noting)
        profiles.append(profile)
    with profile.emptied(watch) as page:
        yield page
