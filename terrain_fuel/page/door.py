"""Who is let in: the address the page stands at, and the key that opens it."""

import hmac
import secrets
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

HOST = "127.0.0.1"
"""The loopback address; there is no other and no option for one."""


@dataclass(frozen=True, slots=True)
class Door:
    """Where the page stands, and the key to it.

    The key is in the first address, which the terminal prints and the browser opens, and from then on
    in a cookie that no script reads and no other site sends.
    """

    port: int
    key: str = field(default_factory=lambda: secrets.token_urlsafe(32), repr=False)

    @property
    def host(self) -> str:
        """What the Host header must say."""
        return f"{HOST}:{self.port}"

    @property
    def origin(self) -> str:
        """What the Origin header of every change must say."""
        return f"http://{self.host}"

    @property
    def first_address(self) -> str:
        """The address that lets its browser in."""
        return f"{self.origin}/?key={self.key}"

    @property
    def cookie_name(self) -> str:
        """Name of the cookie; cookies are shared by all ports of a machine."""
        return f"terrain-fuel-{self.port}"

    @property
    def cookie(self) -> str:
        """The Set-Cookie header."""
        return f"{self.cookie_name}={self.key}; HttpOnly; SameSite=Strict; Path=/"

    def fits(self, key: str) -> bool:
        """Return whether a key opens the door, in a time that says nothing of how nearly."""
        return hmac.compare_digest(key.encode("utf-8", "replace"), self.key.encode("ascii"))

    def opens(self, cookie_header: str) -> bool:
        """Return whether the cookies of a request hold the key."""
        try:
            held = SimpleCookie(cookie_header).get(self.cookie_name)
        except CookieError:
            return False
        return held is not None and self.fits(held.value)
