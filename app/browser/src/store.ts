// What is kept in the browser: jobs, each with its netlist and its record. An entry is kept once `put` has returned.

import type {Files} from "./engine.js";
import type {Practice} from "./practice.js";

export interface Job {
  id: string;
  harness: string; // the netlist's name in `files`
  files: Files; // the netlist and what it includes
  recordName: string;
  record: string; // empty before the first entry
  depth: "outside" | "full";
  changed: number; // when, in milliseconds since 1970
  saved: string; // the record as it was last saved as a file
  practice?: Practice; // where it is an exercise
}

const kName = "lugwise-page";
const kTable = "jobs";

export class Store {
  // `refused` says why nothing can be kept; empty where it can. Then jobs live as long as the page.
  private constructor(
    private readonly database: IDBDatabase | null,
    readonly refused: string,
    private readonly here = new Map<string, Job>(),
  ) {}

  static async open(): Promise<Store> {
    try {
      const database = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open(kName, 1);
        request.onupgradeneeded = () => request.result.createObjectStore(kTable, {keyPath: "id"});
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error ?? new Error("refused"));
        request.onblocked = () => reject(new Error("another copy of this page holds it"));
      });
      database.onversionchange = () => database.close();
      return new Store(database, "");
    } catch (error) {
      return new Store(null, error instanceof Error ? error.message : String(error));
    }
  }

  private async work<Value>(mode: IDBTransactionMode, ask: (jobs: IDBObjectStore) => IDBRequest<Value>): Promise<Value> {
    const database = this.database;
    if (!database) throw new Error(this.refused);
    // Strict: on the disk, not only on its way there.
    const transaction = database.transaction(kTable, mode, {durability: "strict"});
    const request = ask(transaction.objectStore(kTable));
    return new Promise<Value>((resolve, reject) => {
      transaction.oncomplete = () => resolve(request.result);
      transaction.onerror = () => reject(transaction.error ?? new Error("not kept"));
      transaction.onabort = () => reject(transaction.error ?? new Error("not kept"));
    });
  }

  // The one changed last first.
  async all(): Promise<Job[]> {
    const jobs = this.database
      ? await this.work<Job[]>("readonly", (table) => table.getAll() as IDBRequest<Job[]>)
      : [...this.here.values()];
    return jobs.sort((a, b) => b.changed - a.changed);
  }

  async get(id: string): Promise<Job | undefined> {
    if (!this.database) return this.here.get(id);
    return this.work<Job | undefined>("readonly", (table) => table.get(id) as IDBRequest<Job | undefined>);
  }

  async put(job: Job): Promise<void> {
    if (this.database) await this.work("readwrite", (table) => table.put(job));
    else this.here.set(job.id, {...job});
  }

  async remove(id: string): Promise<void> {
    if (this.database) await this.work("readwrite", (table) => table.delete(id));
    else this.here.delete(id);
  }
}
