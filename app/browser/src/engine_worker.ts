// Runs in the worker, behind the code that emscripten made: unpacks nothing, answers one text after the other.

interface Program {
  answer(request: string): string;
}

declare function createLugwise(options: {wasmBinary: ArrayBuffer}): Promise<Program>;

type Message = {program: ArrayBuffer} | {id: number; text: string};

let program: Promise<Program> | undefined;

self.onmessage = async (event: MessageEvent<Message>): Promise<void> => {
  const message = event.data;
  if ("program" in message) {
    program = createLugwise({wasmBinary: message.program});
    program.catch(() => undefined); // told with the first request
    return;
  }
  try {
    if (!program) throw new Error("the engine was not given its program");
    self.postMessage({id: message.id, text: (await program).answer(message.text)});
  } catch (error) {
    self.postMessage({id: message.id, failure: String(error)});
  }
};
