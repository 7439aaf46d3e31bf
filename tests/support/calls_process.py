"""A server in a process of its own whose calls go to a push service on loopback."""

from support.server_process import ServerProcess

SERVE = """
import json, sys
from contextlib import contextmanager
from pathlib import Path
from plytally.remind.calling import calling
from plytally.web import serve as serving
from plytally.web.pairing import invite
from plytally.web.shop import Beside

@contextmanager
def beside(bench):
    with calling(bench.log, timeout_s=5) as calls:
        yield Beside({"calls": calls.waiting})

def ready(running):
    told = {"desk": running.desk_url, "phones": running.shop.url, "remarks": running.remarks}
    print(json.dumps(told | invite(running.shop, running.inside.codes)), flush=True)

asked = json.loads(sys.argv[1])
serving.serve(serving.Plan(Path(asked.pop("folder")), beside=beside, **asked), ready)
"""


class CallingProcess(ServerProcess):
    """As `plytally serve`, calls too."""

    script = SERVE
