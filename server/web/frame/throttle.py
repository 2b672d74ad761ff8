"""Slows down whoever guesses: a bucket of tries for each address, refilled drop by drop."""

import ipaddress
import time
from collections import OrderedDict
from collections.abc import Callable
from threading import Lock

TRIES = 10
REFILL_S = 6.0
"""Seconds until one more try comes back."""

MOST_ADDRESSES = 4096


class Throttle:
    """Wrong tries by address. Only those cost: fifty who know the code may share one address."""

    def __init__(
        self,
        tries: int = TRIES,
        refill_s: float = REFILL_S,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._tries = tries
        self._refill_s = refill_s
        self._clock = clock
        # Address -> (tries spent, when that was so). Routes run in several threads.
        self._spent: OrderedDict[str, tuple[float, float]] = OrderedDict()
        self._lock = Lock()

    def wait_s(self, address: str) -> float:
        """Seconds that an address must wait before it may try; 0 where it may at once."""
        with self._lock:
            over = self._spent_now(_side(address)) - (self._tries - 1)
        return max(0.0, over * self._refill_s)

    def spend(self, address: str) -> None:
        """Count a wrong try."""
        side = _side(address)
        with self._lock:
            self._spent[side] = (self._spent_now(side) + 1, self._clock())
            self._spent.move_to_end(side)
            while len(self._spent) > MOST_ADDRESSES:
                self._spent.popitem(last=False)

    def _spent_now(self, side: str) -> float:
        spent, since_s = self._spent.get(side, (0.0, 0.0))
        return max(0.0, spent - (self._clock() - since_s) / self._refill_s)


def _side(address: str) -> str:
    """What one who guesses cannot change at will: of IPv6 they own all but the first half."""
    try:
        read = ipaddress.ip_address(address)
    except ValueError:
        return address
    if read.version == 4:
        return address
    return str(ipaddress.ip_network((read, 64), strict=False))
