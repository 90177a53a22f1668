"""While a request is answered no file is opened, nothing is connected to, and no program is started."""

import json
import subprocess
import sys
from pathlib import Path

WATCHED = """
import json, sys

from changeout.application.documents import DOCUMENTS
from changeout.application.service import Service
from changeout.web.app import create_app
from changeout.web.operations import OPERATIONS
from changeout.web.settings import Settings

service = Service.load()
client = create_app(Settings(), service).test_client()
proposal = service.example("dwelling-service")
forms = [form.media_type for operation in OPERATIONS if operation.id == "validate" for form in operation.produces]
requests = [("POST", "/v1/validations", proposal, form) for form in forms]
requests += [("POST", f"/v1/validations?edition={e}", proposal, "*/*") for e in service.editions()]
requests += [("POST", f"/v1/documents/{kind}", proposal, "text/html") for kind in DOCUMENTS]
requests += [("POST", f"/v1/calculations/{kind}", proposal, "*/*") for kind in ("fault-current", "load", "ampacity")]
whole = {"proposal": json.loads(proposal)}
patch = [{"op": "replace", "path": "/panelboard/short_circuit_rating", "value": "22 kA"}]
requests += [
    ("POST", "/v1/what-if", json.dumps({**whole, "patch": patch}).encode(), "*/*"),
    ("POST", "/v1/comparisons", json.dumps(whole).encode(), "*/*"),
    ("POST", "/v1/decision-diffs", json.dumps({"old": whole["proposal"], "new": whole["proposal"]}).encode(), "*/*"),
    ("POST", "/v1/validations/batch", json.dumps(whole["proposal"]).encode() + b"\\n{\\n", "*/*"),
    ("POST", "/v1/validations", b"{", "*/*"),
    ("POST", "/v1/validations", b'{"changeout": 1, "project": {"jurisdiction": "../../etc/passwd"}}', "*/*"),
    ("GET", "/v1/examples/..%2F..%2Fetc%2Fpasswd", b"", "*/*"),
    ("GET", "/docs/assets/..%2F..%2Fapp.py", b"", "*/*"),
]
paths = ("/v1/editions", "/v1/jurisdictions", "/v1/examples", "/v1/schemas/proposal", "/v1/schemas/report", "/docs",
         "/docs/http", "/openapi.json", "/livez", "/readyz", "/metrics", "/review", "/review?example=dwelling-service")
requests += [("GET", path, b"", "*/*") for path in paths]


def send(method, path, body, accept):
    kind = "application/x-ndjson" if path.endswith("batch") else "application/json"
    response = client.open(path, method=method, data=body, headers={"Content-Type": kind, "Accept": accept})
    return response.status_code, len(response.data)


# What is made at the first call, such as a page of the documentation out of the package, is made by then.
before = [send(*request) for request in requests]
seen, watching = [], False
HELD = ("open", "socket.", "subprocess.", "os.system", "os.exec", "os.posix_spawn", "os.fork", "os.remove", "os.rename",
        "os.mkdir", "os.listdir", "os.scandir", "shutil.", "tempfile.", "urllib.", "ftplib.", "smtplib.", "ctypes.dlopen",
        "import", "compile", "exec", "marshal.loads", "pickle.find_class", "sqlite3.")


def hook(event, arguments):
    if watching and event.startswith(HELD):
        seen.append([event, repr(arguments)[:120]])


sys.addaudithook(hook)
watching = True
after = [send(*request) for request in requests]
watching = False
print(json.dumps({"seen": seen, "statuses": [status for status, _ in after], "requests": len(requests)}))
assert [status for status, _ in before] == [status for status, _ in after]

watching = True
open(sys.executable, "rb").close()
watching = False
assert seen, "the watch itself"
"""


def test_no_file_no_network_no_program_and_no_code():
    done = subprocess.run([sys.executable, "-W", "ignore", "-c", WATCHED], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["seen"] == [], json.dumps(told["seen"])
    assert set(told["statuses"]) == {200, 400, 404, 422}
    assert told["requests"] > 35


def test_the_service_answers_without_any_network_but_its_own(tmp_path):
    """In a network of its own that has no way out, over a socket of the file system."""
    proposal = Path(__file__).parents[2] / "fixtures/proposals/dwelling-close-to-transformer.json"
    asks = f"""
import http.client, socket, sys, time
for _ in range(600):
    try:
        s = socket.socket(socket.AF_UNIX); s.connect("{tmp_path}/s"); break
    except OSError:
        s.close(); time.sleep(0.1)
c = http.client.HTTPConnection("x"); c.sock = s
c.request("POST", "/v1/validations", open({str(proposal)!r}, "rb").read(), {{"Content-Type": "application/json"}})
sys.exit(0 if c.getresponse().status == 200 else 1)
"""
    alone = ("unshare", "--net", "--map-root-user")
    serve = [*alone, sys.executable, "-m", "changeout", "serve", "--bind", f"unix:{tmp_path}/s"]
    with (tmp_path / "log").open("wb") as log:
        served = subprocess.Popen(serve, stdout=log, stderr=log)
    try:
        done = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, timeout=120, check=False)
        assert done.returncode == 0, done.stderr + (tmp_path / "log").read_text()
    finally:
        served.terminate()
        served.wait(timeout=30)
