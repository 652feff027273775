"""Sets up what is missing, builds the site and serves it until it is interrupted (see README.md)."""

from __future__ import annotations

import argparse
import subprocess
import sys

from environment import SetUpError, clean_environment, make_ready
from places import BUILD_SCRIPTS, SITE
from web_server import Server, Site


def port_number(text: str) -> int:
    """Read a port; 0 takes any free one."""
    port = int(text)
    if not 0 <= port <= 65535:
        raise ValueError
    return port


def read_port(arguments: list[str]) -> int:
    """Read the command's arguments."""
    parser = argparse.ArgumentParser(prog="serve", description="Build Quarter Turn's site and serve it here.")
    parser.add_argument(
        "--port", type=port_number, default=8000, help="the port on 127.0.0.1 (default 8000; 0 takes a free one)"
    )
    port: int = parser.parse_args(arguments).port
    return port


def open_server(port: int) -> Server:
    """Take the port before any long work, so that a port in use is known at once."""
    try:
        return Server(Site(SITE, quiet=False), port)
    except OSError as error:
        sys.exit(f"Port {port} cannot be used ({error.strerror}). Try another, for example --port {port + 1}.")


def main(arguments: list[str]) -> None:
    """Run the command."""
    with open_server(read_port(arguments)) as server:
        try:
            python = make_ready("site")
            built = subprocess.run([python, BUILD_SCRIPTS / "site_build.py"], env=clean_environment())
            if built.returncode != 0:
                sys.exit(built.returncode)
            print(f"Quarter Turn is at {server.address} (Ctrl-C ends it)", flush=True)
            server.serve_forever()
        except SetUpError as error:
            sys.exit(str(error))
        except KeyboardInterrupt:
            print()


if __name__ == "__main__":
    main(sys.argv[1:])
