// Runs in the worker, behind the code that emscripten made: unpacks its program, and answers one text after the other.
import {unpack} from "./packing.js";

interface Program {
  answer(request: string): string;
}

declare function createLugwise(options: {wasmBinary: ArrayBuffer}): Promise<Program>;

type Message = {program: string} | {id: number; text: string};

let program: Promise<Program> | undefined;

self.onmessage = async (event: MessageEvent<Message>): Promise<void> => {
  const message = event.data;
  if ("program" in message) {
    program = unpack(message.program).then((wasmBinary) => createLugwise({wasmBinary}));
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
