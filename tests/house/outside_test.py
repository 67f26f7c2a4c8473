"""A program outside our tree finds an installed lugwise, builds against its headers alone, and runs.

LUGWISE_BUILD is a finished build; it is installed into a folder that is thrown away. The outside project gets strict
warnings and no C++ standard of its own: both must come right from our package."""

import json
import os
import re
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

HERE = Path(__file__).resolve().parent
HARNESSES = HERE.parents[1] / "harnesses"
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
            self.assertLessEqual(len((work / "main.cpp").read_text().splitlines()), 40, "it shows how little it takes")
            harness = HARNESSES / "fernhollow-2.yaml"
            readings = HARNESSES / "jobs/fernhollow-2-silent-front.yaml"
            meter = HARNESSES / "meters/manual-2000.yaml"
            record = work / "record.yaml"
            said = run(work / "build/outside", harness, readings, meter, record, "", "note mended tomorrow", "0.3")
            self.assertEqual(said, (HERE / "outside/expected.txt").read_text())
            # What it wrote is the readings file it read, as the program's own session would have left it.
            self.assertIn("{note: mended tomorrow}", record.read_text())
            self.assertIn("{tips: together, reads: 0.3}", record.read_text())
            found = subprocess.run([place / "bin/lugwise", "diagnose", harness, record, "--json"], capture_output=True,
                                   text=True)
            self.assertEqual(found.returncode, 1, found.stderr)
            suspects = [each["fault"] for each in json.loads(found.stdout)["suspects"] if each["group"] == 1]
            self.assertEqual([(fault["mode"], fault["element"], fault["points"]) for fault in suspects],
                             [("open", "contact", ["selector.f", "selector.out"])])

    def test_what_the_readme_shows_of_the_library_links_and_plans(self):
        readme = (HERE.parents[1] / "README.md").read_text()
        (project,) = re.findall(r"```cmake\n(.*?)```", readme, re.DOTALL)
        (snippet,) = re.findall(r"```cpp\n(.*?)```", readme, re.DOTALL)
        with tempfile.TemporaryDirectory() as folder:
            place, work = Path(folder, "installed"), Path(folder, "yours")
            run("cmake", "--install", BUILD, "--prefix", place)
            work.mkdir()
            (work / "CMakeLists.txt").write_text("cmake_minimum_required(VERSION 3.22)\nproject(yours LANGUAGES CXX)\n"
                                                 "add_executable(yours main.cpp)\n" + project)
            (work / "main.cpp").write_text("#include <cstdio>\n#include <fstream>\n#include <sstream>\n" + snippet + """
int main(int, char** words) {
  std::stringstream text;
  text << std::ifstream(words[1]).rdbuf();
  std::printf("%zu", readings(text.str()));
}
""")
            generator = ["-G", "Ninja"] if shutil.which("ninja") else []
            run("cmake", "-S", work, "-B", work / "build", *generator, f"-DCMAKE_PREFIX_PATH={place}",
                f"-DCMAKE_CXX_COMPILER={CXX}")
            run("cmake", "--build", work / "build")
            harness = HARNESSES / "fernhollow-2.yaml"
            planned = json.loads(run(place / "bin/lugwise", "plan", harness, "--json"))
            self.assertEqual(int(run(work / "build/yours", harness)), len(planned["steps"]))


if __name__ == "__main__":
    unittest.main()
