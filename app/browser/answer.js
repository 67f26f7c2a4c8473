// Behind what emscripten makes: the engine takes and gives JavaScript's own strings.
Module["answer"] = (request) => {
  const given = allocateUTF8(request);
  if (!given) return JSON.stringify({failure: "there is not enough memory for this"});
  try {
    return UTF8ToString(_lugwise_answer(given));
  } finally {
    _free(given);
  }
};
