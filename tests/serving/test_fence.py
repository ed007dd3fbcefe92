"""The fence round a visitor's folder, attacked by name in a process of its own: what is put up stays for its life."""

import json
import subprocess
import sys

import pytest

ATTACKS = {
    "absolute path": "open(OUT + '/secret.txt').read()",
    "climbing": "open('../../secret.txt').read()",
    "climbing from inside": "open(OWN + '/quilts/../../secret.txt').read()",
    "link to a file": "open(OWN + '/link.txt').read()",
    "link to a folder": "open(OWN + '/outside/secret.txt').read()",
    "writing": "open(OUT + '/new.txt', 'w')",
    "writing through a link": "open(OWN + '/outside/new.txt', 'w')",
    "appending": "open(OUT + '/secret.txt', 'a')",
    "opening low": "os.open(OUT + '/secret.txt', os.O_RDONLY)",
    "creating low": "os.open(OUT + '/new.txt', os.O_CREAT | os.O_WRONLY)",
    "bytes": "open(os.fsencode(OUT) + b'/secret.txt').read()",
    "pathlib": "pathlib.Path(OUT, 'secret.txt').read_text()",
    "listing": "os.listdir(OUT)",
    "scanning": "list(os.scandir(OUT))",
    "walking": "list(pathlib.Path(OUT).iterdir())",
    "changing folder": "os.chdir(OUT)",
    "removing": "os.remove(OUT + '/secret.txt')",
    "removing a folder": "shutil.rmtree(OUT)",
    "moving out": "os.rename(OWN + '/mine.txt', OUT + '/mine.txt')",
    "moving in": "os.rename(OUT + '/secret.txt', OWN + '/secret.txt')",
    "replacing": "os.replace(OWN + '/mine.txt', OUT + '/secret.txt')",
    "making a folder": "os.mkdir(OUT + '/new')",
    "linking": "os.symlink(OUT, OWN + '/way')",
    "linking hard": "os.link(OUT + '/secret.txt', OWN + '/hard')",
    "changing rights": "os.chmod(OUT + '/secret.txt', 0o777)",
    "cutting short": "os.truncate(OUT + '/secret.txt', 0)",
    "touching": "os.utime(OUT + '/secret.txt')",
    "copying": "shutil.copyfile(OUT + '/secret.txt', OWN + '/copy.txt')",
    "accounts": "open('/etc/passwd').read()",
    "surroundings of a process": "open('/proc/self/environ').read()",
    "files of a process": "open(f'/proc/{os.getppid()}/environ').read()",
    "root of a process": "open('/proc/self/root/etc/passwd').read()",
    "a database": "sqlite3.connect(OUT + '/secret.db')",
    "a zip": "zipfile.ZipFile(OUT + '/secret.zip')",
    "a command": "subprocess.run(['true'])",
    "a shell": "os.system('true')",
    "another program": "os.execv('/bin/true', ['true'])",
    "another machine": "socket.create_connection(('192.0.2.1', 80), timeout=1)",
}
HARMLESS = {
    "reading": "open(OWN + '/mine.txt').read()",
    "writing": "open(OWN + '/quilts/new.toml', 'w').write('x')",
    "a temporary file": "tempfile.NamedTemporaryFile(dir=OWN).name",
    "removing a tree": "(os.mkdir(OWN + '/t'), open(OWN + '/t/a', 'w').close(), shutil.rmtree(OWN + '/t'))",
    "moving within": "os.replace(OWN + '/quilts/new.toml', OWN + '/quilts/old.toml')",
    "a study that comes with the kit": "kit.open_study(find_shipped('data/studies/tideline.toml'))",
    "a module not yet there": "__import__('xml.dom.minidom')",
}
CHILD = """
import json, os, pathlib, shutil, socket, sqlite3, subprocess, sys, tempfile, zipfile
import kit
from kit.serving.fence import Fence
from kit.shipped import find_shipped
OWN, OUT = sys.argv[1:]
tempfile.tempdir = OWN
os.chdir(OWN)
Fence(OWN, [pathlib.Path(kit.__file__).parent, find_shipped("data")]).raise_it()
seen = {}
for name, code in json.load(sys.stdin).items():
    try:
        eval(code)
        seen[name] = "done"
    except PermissionError:
        seen[name] = "refused"
    except Exception as error:
        seen[name] = repr(error)
print(json.dumps(seen))
"""


@pytest.fixture
def tried(tmp_path):
    """Return a function that tries pieces of code inside the fence."""
    out, own = tmp_path / "out", tmp_path / "out" / "own" / "her"
    (own / "quilts").mkdir(parents=True)
    for name in ("secret.txt", "secret.db", "secret.zip"):
        (out / name).write_text("of somebody else")
    (own / "mine.txt").write_text("mine")
    (own / "link.txt").symlink_to(out / "secret.txt")
    (own / "outside").symlink_to(out)

    def run(codes):
        done = subprocess.run([sys.executable, "-c", CHILD, own, out], input=json.dumps(codes), text=True,
                              capture_output=True, check=True, timeout=120)  # fmt: skip
        return json.loads(done.stdout), out

    return run


def test_every_way_out_is_refused_and_nothing_outside_is_changed(tried):
    seen, out = tried(ATTACKS)
    assert {name: said for name, said in seen.items() if said != "refused"} == {}
    assert sorted(path.name for path in out.iterdir()) == ["own", "secret.db", "secret.txt", "secret.zip"]
    assert (out / "secret.txt").read_text() == "of somebody else"


def test_what_a_page_does_in_its_own_folder_is_done(tried):
    seen, _ = tried(HARMLESS)
    assert set(seen.values()) == {"done"}, seen
