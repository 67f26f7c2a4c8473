// Answers requests to the engine, one a line of JSON on stdin and one a line on stdout, with the seconds it took.
"use strict";
const lines = require("readline").createInterface({input: process.stdin});
require(process.argv[2])().then((engine) => {
  lines.on("line", (line) => {
    const begun = process.hrtime.bigint();
    const answer = engine.answer(line);
    const seconds = Number(process.hrtime.bigint() - begun) / 1e9;
    process.stdout.write(`${JSON.stringify({answer: JSON.parse(answer), seconds})}\n`);
  });
});
