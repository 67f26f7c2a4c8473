// Answers requests to the engine, one a line of JSON on stdin and one a line on stdout, with the processor's seconds it took.
"use strict";
require(process.argv[2])().then((engine) => {
  require("readline").createInterface({input: process.stdin}).on("line", (line) => {
    const begun = process.cpuUsage();
    let answer;
    try {
      answer = JSON.parse(engine.answer(line));
    } catch (error) {
      answer = {thrown: String(error)};
    }
    const {user, system} = process.cpuUsage(begun);
    process.stdout.write(`${JSON.stringify({answer, seconds: (user + system) / 1e6, memory: engine.HEAP8.length})}\n`);
  });
});
