"use strict";
(() => {
  const sheet = document.querySelector(".checklist");
  const rows = [...sheet.querySelectorAll("tr[data-kind]")];
  const job = [...document.querySelectorAll(".job .field")];
  const say = text => { document.getElementById("kept").textContent = text; };
  const powers = {p: -12, n: -9, u: -6, "µ": -6, "": 0, R: 0, ".": 0, k: 3, K: 3, M: 6, G: 9};
  // The least and the most that a display can mean, or nothing where no display says that.
  const meaning = typed => {
    const text = typed.trim().replace(",", ".");
    if (text === sheet.dataset.over || /^(o\.?l|0l)\b/i.test(text)) return [Infinity, Infinity];
    if (/^beep$/i.test(text)) return [0, +sheet.dataset.beeps];
    if (/^no beep$/i.test(text)) return [+sheet.dataset.beeps, Infinity];
    const parts = text.match(/^(\d*)([.RkKMGpnuµ]?)(\d*) *([pnuµkKMG]?) *(Ω|ohms?|F)?$/);
    if (!parts || !(parts[1] || parts[3]) || (parts[4] && !/^\.?$/.test(parts[2]))) return null;
    const value = Number(`${parts[1] || 0}.${parts[3] || 0}e${powers[parts[4] || parts[2]]}`);
    return [value, value];
  };
  const fields = row => [...row.querySelectorAll("input[type=text]")];
  const boxes = row => [...row.querySelectorAll("input[type=checkbox]")];
  const agrees = field => {
    const seen = meaning(field.value), low = meaning(field.dataset.low || ""), high = meaning(field.dataset.high || "");
    if (!seen || !low || !high) return seen ? "" : /^unstable$/i.test(field.value.trim()) ? "wrong" : "?";
    return seen[1] >= low[0] * 0.999999 && seen[0] <= high[1] * 1.000001 ? "agrees" : "wrong";
  };
  const judge = row => {
    let words = fields(row).filter(field => field.value.trim()).map(agrees);
    if (row.dataset.kind === "reading") words = words.slice(-1);
    if (row.dataset.kind === "watched") boxes(row).forEach((box, i) => { if (box.checked) words.push(i ? "wrong" : "agrees"); });
    const word = ["?", "wrong", "agrees"].find(each => words.includes(each)) || "";
    const out = row.querySelector(".judged");
    if (!out || out.dataset.word === word) return;
    out.dataset.word = word;
    out.textContent = word === "?" ? "not a reading" : word;
    out.className = `judged ${word === "agrees" ? "good" : word ? "bad" : ""}`;
  };
  const quoted = text => JSON.stringify(text.trim());
  const entries = row => {
    const typed = fields(row).map(field => field.value.trim()), at = `step: ${row.dataset.step}`;
    const ticked = boxes(row).find(box => box.checked);
    switch (row.dataset.kind) {
      case "reading":
        return typed.filter(text => text).map((text, i, all) =>
          `{${at}, reads: ${quoted(text)}${i + 1 < all.length ? ", aside: taken again" : ""}}`);
      case "watched":
        return ticked ? [`{${at}, reads: ${ticked.dataset.says}${typed.length && typed.every(text => text) ? `, ends: [${typed.map(quoted).join(", ")}]` : ""}}`]
          : typed[0] ? [`{${at}, reads: ${quoted(typed[0])}}`] : [];
      case "tips":
        return typed.filter(text => text).map((text, i) => `{tips: together, reads: ${quoted(text)}${i ? ", aside: at the end" : ""}}`);
      default:
        return ticked ? [`{done: ${quoted(row.dataset.says)}}`] : [];
    }
  };
  const whole = () => {
    const notes = job.map(label => [label.textContent.trim(), label.querySelector("input").value])
      .filter(([, text]) => text.trim()).map(([name, text]) => `{note: ${quoted(`${name}: ${text}`)}}`);
    const all = [...notes, ...rows.flatMap(entries)];
    return sheet.dataset.head + (all.length ? "readings:\n" + all.map(each => `  - ${each}\n`).join("") : "readings: []\n");
  };
  const save = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([whole()], {type: "text/yaml"}));
    link.download = sheet.dataset.file;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say(`Saved as ${link.download}.`);
  };
  // A text of the file, in quotes or without.
  const text = raw => {
    try { return raw.startsWith('"') ? JSON.parse(raw) : raw.trim(); } catch { return raw; }
  };
  const SCALAR = '("(?:[^"\\\\]|\\\\.)*"|[^,{}\\[\\]]+)';
  const key = (line, name) => {
    const found = line.match(new RegExp(`[{,] *${name}: *${SCALAR}`));
    return found && text(found[1]);
  };
  const tick = (row, says) => boxes(row).forEach(box => { box.checked = !says || box.dataset.says === says; });
  const take = line => {
    const note = key(line, "note"), step = key(line, "step"), reads = key(line, "reads"), done = key(line, "done");
    if (/^ *- *\{tips:/.test(line)) {
      const row = rows.find(each => each.dataset.kind === "tips");
      if (row) fields(row)[/aside: *at the end/.test(line) ? 1 : 0].value = reads;
      return !!row;
    }
    if (done !== null) {
      const row = rows.find(each => each.dataset.says === done);
      if (row) tick(row);
      return !!row;
    }
    if (step !== null && reads !== null) {
      const row = rows.find(each => each.dataset.step === step);
      if (!row) return false;
      const ends = line.match(new RegExp(`ends: *\\[ *${SCALAR} *, *${SCALAR} *\\]`)), into = fields(row);
      if (ends) into.forEach((field, i) => { field.value = text(ends[i + 1]); });
      if (boxes(row).some(box => box.dataset.says === reads)) tick(row, reads);
      else if (into.length && !ends) into[into[0].value && into[1] && row.dataset.kind === "reading" ? 1 : 0].value = reads;
      return true;
    }
    const label = note !== null && job.find(each => note.startsWith(`${each.textContent.trim()}: `));
    if (label) label.querySelector("input").value = note.slice(label.textContent.trim().length + 2);
    return !!label;
  };
  const open = async file => {
    const content = await file.text(), id = new RegExp("plan: *\\{ *id: *\"?([0-9a-fA-F]+)");
    const mine = sheet.dataset.head.match(id), its = content.match(id);
    if (!its || its[1].toLowerCase() !== mine[1]) return say(`${file.name} is not of this plan, ${mine[1]}: nothing was taken.`);
    document.querySelectorAll("main input[type=text]").forEach(field => { field.value = ""; });
    document.querySelectorAll("main input[type=checkbox]").forEach(box => { box.checked = false; });
    const lines = content.split(/\r?\n/).filter(line => /^ *- *\{/.test(line));
    const left = lines.filter(line => !take(line)).length;
    rows.forEach(judge);
    say(`${lines.length - left} entries taken from ${file.name}${left ? `; ${left} have no place on this sheet` : ""}.`);
  };
  rows.forEach(row => {
    row.addEventListener("input", event => {
      if (event.target.type === "checkbox" && event.target.checked)
        boxes(row).forEach(box => { box.checked = box === event.target; });
      judge(row);
    });
    judge(row);
  });
  document.getElementById("save").addEventListener("click", save);
  document.getElementById("open").addEventListener("change", event => {
    if (event.target.files[0]) open(event.target.files[0]);
    event.target.value = "";
  });
  document.querySelector(".keeping").hidden = false;
})();
