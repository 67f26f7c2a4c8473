// The program as a page has it: one text in, one text out, both JSON; the same commands as on the command line, on files
// that are in the request. app/browser/engine makes it; in JavaScript it is
//
//   const engine = await createLugwise({wasmBinary});
//   JSON.parse(engine.answer(JSON.stringify(request)))
//
// {"do": "run", "arguments": ["expect", "h.yaml", "a", "b", "--json"], "files": {"h.yaml": text}, "input": "lines"}
//     -> {"exit", "out", "err", "files": those that were written}. `input`, which may be left out, is what is typed, for
//     `guide` and `exercise work`.
// {"do": "open", "files": {...}, "harness": "h.yaml", "record": "h.readings.yaml", "heard": [...], "depth", "meter", "stage"}
//     -> {"exit", "err", "session", "record", "errors"}: a session, of which there is one at a time. All but the first three
//     may be left out or empty. `session` is what `guide --json` says, null where it can't begin; `record` the text to keep.
// {"do": "say", "line": "6.71k"} -> the same.
// {"do": "describe", "files", "harness"} -> {"exit", "err", "errors", "name", "about", "parts": [{"name", "kind"}],
//     "wires": [name], "controls": [{"name", "kind", "places", "rests"}], "points": [{"name", "words"}]}
//
// What can't be understood, or done for want of memory, is answered with {"failure": why}; the next request is answered as
// if it had not been there, but for a session, which `failure` to a `say` puts down: open it again with the last record. Where
// WebAssembly itself stops, as for want of stack, `answer` throws, and the page makes another engine. A png or pdf can't be
// made, as that takes another program.
#pragma once

#include <memory>
#include <string>

namespace lugwise::app {

class Engine {
 public:
  // Lays out the files of each request in `folder`, which is made where it is missing and must be the engine's own: what
  // is in it is removed.
  explicit Engine(const std::string& folder);
  ~Engine();
  Engine(const Engine&) = delete;
  Engine& operator=(const Engine&) = delete;

  // Lets no exception escape. While it works the process is in another folder, and its terminal is two files.
  std::string answer(const std::string& request);

 private:
  class Work;
  std::unique_ptr<Work> work_;
};

}  // namespace lugwise::app
