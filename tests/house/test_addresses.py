"""Where the site listens, what it says when it cannot, and how phones find it."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from clubsite.deploy import embedded_broker, network
from clubsite.deploy.options import parser

COMMAND = "python3 manage.py serve"


def test_a_taken_port_is_named_with_a_free_one() -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        with pytest.raises(network.CannotListen) as caught:
            network.listen("127.0.0.1", port, COMMAND)
    text = str(caught.value)
    assert text.startswith(f"Port {port} is taken by another program.")
    free = int(text.rpartition("--port ")[2])
    assert port < free <= port + 20


def test_two_servers_cannot_both_have_a_port_before_either_answers() -> None:
    with network.listen("127.0.0.1", 0, COMMAND) as first:
        port = first.getsockname()[1]
        with pytest.raises(network.CannotListen, match="taken"):
            network.listen("127.0.0.1", port, COMMAND)


def test_an_address_of_another_machine() -> None:
    # 192.0.2.0/24 is for documentation (RFC 5737): no machine has it.
    with pytest.raises(network.CannotListen, match="no address of this machine"):
        network.listen("192.0.2.7", 0, COMMAND)
    with pytest.raises(network.CannotListen, match="no address of this machine"):
        network.listen("no such host.invalid", 0, COMMAND)


def test_names_a_browser_may_ask_for() -> None:
    assert network.host_names("127.0.0.1") == ["localhost", "127.0.0.1", "[::1]"]
    everywhere = network.host_names("0.0.0.0")
    assert socket.gethostname().lower() in everywhere
    assert network.host_names("::1")[-1] == "[::1]"
    assert network.http_address("::1", 8008) == "http://[::1]:8008"


def test_the_printed_code_reads_back_as_its_address() -> None:
    """The blocks are the light parts of the symbol that the QR library makes for the address."""
    import segno

    url = "http://192.0.2.20:8008"
    dark = [list(row) for row in segno.make(url, error="m").matrix]
    halves = {"█": (0, 0), "▀": (0, 1), "▄": (1, 0), " ": (1, 1)}
    lines = network.qr_code(url).splitlines()
    rows = [[halves[block][half] for block in line] for line in lines for half in (0, 1)]
    # Half of the last line lies below the symbol.
    rows = rows[: len(dark) + 8]
    # The quiet zone is four wide all round (ISO 18004, 5.3.8).
    assert [row[4:-4] for row in rows[4 : 4 + len(dark)]] == dark
    assert not any(cell for row in rows[:4] for cell in row)
    assert not any(cell for row in rows for cell in row[:4] + row[-4:])


@pytest.mark.parametrize("text", ["club.example", "ftp://club.example", "https://club.example/a"])
def test_an_address_that_is_none_is_refused(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        parser(demo=False).parse_args(["--address", text])
    assert "write it like https://club.example" in capsys.readouterr().err


@pytest.mark.parametrize("text", ["eighty", "-1", "70000"])
def test_a_port_that_is_none_is_refused(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        parser(demo=True).parse_args([f"--port={text}"])
    assert "is no port" in capsys.readouterr().err


def test_a_socket_path_is_short_however_deep_the_data_folder_lies(tmp_path: Path) -> None:
    deep = tmp_path / ("a-very-long-name-" * 12)
    found = embedded_broker.runtime_folder(deep)
    try:
        # sun_path holds 104 bytes on macOS and 108 on Linux (unix(4), unix(7)).
        assert len(bytes(found / "broker.sock")) < 100
        assert found != embedded_broker.runtime_folder(tmp_path / "another")
    finally:
        embedded_broker.leave(found / "broker.sock")
        embedded_broker.leave(embedded_broker.runtime_folder(tmp_path / "another") / "broker.sock")
    assert not found.exists()


def test_a_runtime_folder_of_somebody_else_is_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    own = embedded_broker.runtime_folder(tmp_path / "club")
    own.rmdir()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    own.symlink_to(elsewhere)
    with pytest.raises(embedded_broker.NoBroker, match="belongs to somebody else"):
        embedded_broker.runtime_folder(tmp_path / "club")


def test_the_broker_keeps_nothing_and_opens_no_port(tmp_path: Path) -> None:
    words = embedded_broker.command(Path("/program"), tmp_path / "broker.sock")
    flags = dict(zip(words[1::2], words[2::2], strict=True))
    assert flags["--port"] == "0"
    assert flags["--unixsocketperm"] == "600"
    assert flags["--save"] == ""
    assert flags["--appendonly"] == "no"
    assert flags["--maxmemory-policy"] == "noeviction"


def test_nobody_behind_the_socket_is_no_answer(tmp_path: Path) -> None:
    assert not embedded_broker.answers(tmp_path / "broker.sock", timeout=0.1)
