// Answers requests to the engine, one a line of JSON on stdin and one a line on stdout, with the processor's seconds it took.
// "large 100" is a request to check a file of so many MB, which nobody else needs to hold.
"use strict";
require(process.argv[2])().then((engine) => {
  require("readline").createInterface({input: process.stdin}).on("line", (line) => {
    const large = /^large (\d+)$/.exec(line);
    const files = large && {"large.yaml": "a".repeat(Number(large[1]) << 20)};
    const request = large ? JSON.stringify({do: "run", arguments: ["check", "large.yaml"], files}) : line;
    const begun = process.cpuUsage();
    let answer;
    try {
      answer = JSON.parse(engine.answer(request));
    } catch (error) {
      answer = {thrown: String(error)};
    }
    const {user, system} = process.cpuUsage(begun);
    process.stdout.write(`${JSON.stringify({answer, seconds: (user + system) / 1e6, memory: engine.HEAP8.length})}\n`);
  });
});
