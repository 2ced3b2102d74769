import { type Diagnostic, InputError, type Place } from './diagnostic.ts';

// So many of one kind in one file are shown; a table with a wrong unit has one fault a row. No source.
const SHOWN = 20;

/** Collects what is wrong with an input, so that a reader can go on after the first fault. */
export class Faults {
  readonly #list: Diagnostic[] = [];
  readonly #count = new Map<string, number>();
  readonly #known = new Set<string>();
  /** Errors found so far. */
  errors = 0;

  get failed(): boolean {
    return this.errors > 0;
  }

  error(code: string, place: Place, message: string, help: string): void {
    this.errors++;
    this.#add({ severity: 'error', code, message, help, ...place });
  }

  warning(code: string, place: Place, message: string, help: string): void {
    this.#add({ severity: 'warning', code, message, help, ...place });
  }

  /** Adds all that another collector has found. */
  take(other: Faults): void {
    this.errors += other.errors;
    for (const d of other.#list) this.#add(d);
    for (const [kind, count] of other.#count) {
      if (count > SHOWN) this.#count.set(kind, (this.#count.get(kind) ?? 0) + count - SHOWN);
    }
  }

  /** Adds a fault found elsewhere. */
  add(d: Diagnostic): void {
    if (d.severity === 'error') this.errors++;
    this.#add(d);
  }

  #add(d: Diagnostic): void {
    // Two stages over one road find the same faults in it.
    const identity = d.line === 0 ? null : `${d.file}\n${d.line}\n${d.col}\n${d.code}\n${d.message}`;
    if (identity !== null && this.#known.has(identity)) return;
    const kind = `${d.file}\n${d.code}`;
    const count = (this.#count.get(kind) ?? 0) + 1;
    this.#count.set(kind, count);
    if (count > SHOWN) return;
    this.#list.push(d);
    if (identity !== null) this.#known.add(identity);
  }

  /** True once so many faults of this kind are known that more would not be shown. */
  full(file: string, code: string): boolean {
    return (this.#count.get(`${file}\n${code}`) ?? 0) > SHOWN;
  }

  /** All that was found: files in the order they were met, each by line; what is not shown is counted last. */
  all(): Diagnostic[] {
    const hidden: Diagnostic[] = [];
    for (const [kind, count] of this.#count) {
      if (count <= SHOWN) continue;
      const [file, code] = kind.split('\n');
      const like = this.#list.find((d) => d.file === file && d.code === code)!;
      hidden.push({
        ...like,
        line: 0,
        col: 0,
        length: 0,
        source: '',
        message: `${count - SHOWN} more faults of this kind were counted`,
        help: `the first ${SHOWN} are shown; mend them, then check again`,
      });
    }
    const order = new Map<string, number>();
    for (const { file } of this.#list) if (!order.has(file)) order.set(file, order.size);
    const sorted = this.#list.toSorted(
      (a, b) => order.get(a.file)! - order.get(b.file)! || a.line - b.line || a.col - b.col,
    );
    return [...sorted, ...hidden];
  }

  throwIfFailed(): void {
    if (this.failed) throw new InputError(this.all().filter((d) => d.severity === 'error'));
  }
}
