from typing import Any
Mix = Repricer = reprice = None  # type: Any
