"""A program outside our tree finds an installed lugwise, builds against its headers alone, and runs.

LUGWISE_BUILD is a finished build; it is installed into a folder that is thrown away. The outside project gets strict
warnings and no C++ standard of its own: both must come right from our package."""

import os
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

HERE = Path(__file__).resolve().parent
BUILD = os.environ.get("LUGWISE_BUILD")
CXX = os.environ.get("LUGWISE_CXX", "c++")


def run(*command):
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        raise AssertionError(f"{' '.join(map(str, command))}\nexit {done.returncode}\n{done.stdout}\n{done.stderr}")
    return done.stdout


@unittest.skipUnless(BUILD, "LUGWISE_BUILD names no build; run through ctest")
class Outside(unittest.TestCase):
    def test_a_program_elsewhere_uses_the_installed_package(self):
        with tempfile.TemporaryDirectory() as folder:
            place, work = Path(folder, "installed"), Path(folder, "outside")
            run("cmake", "--install", BUILD, "--prefix", place)
            self.assertEqual((place / "bin/lugwise").is_file(), Path(BUILD, "lugwise").is_file())
            for written in ("man/man1/lugwise.1", "bash-completion/completions/lugwise", "zsh/site-functions/_lugwise",
                            "fish/vendor_completions.d/lugwise.fish"):
                self.assertGreater((place / "share" / written).stat().st_size, 100, written)
            headers = sorted(p.relative_to(place / "include").as_posix() for p in (place / "include").rglob("*.h"))
            self.assertTrue(headers, "no header is installed")
            self.assertEqual([h for h in headers if "/inside/" in h or not h.startswith("lugwise/")], [])

            shutil.copytree(HERE / "outside", work)
            # Every public header, by the name an outsider writes.
            (work / "every_header.cpp").write_text("".join(f"#include <{header}>\n" for header in headers))
            generator = ["-G", "Ninja"] if shutil.which("ninja") else []
            run("cmake", "-S", work, "-B", work / "build", *generator, f"-DCMAKE_PREFIX_PATH={place}",
                f"-DCMAKE_CXX_COMPILER={CXX}")
            run("cmake", "--build", work / "build")
            said = run(work / "build/outside")
            self.assertEqual(said, (HERE / "outside/expected.txt").read_text())


if __name__ == "__main__":
    unittest.main()
