/** How far a study is: one line that renews itself on a terminal, a plain line now and then elsewhere. */
import type { Io } from './io.ts';

/** Between lines [ms]. */
const ON_TERMINAL = 200;
const IN_LOG = 10_000;
const BAR = 24;

export class Progress {
  readonly #io: Io;
  readonly #total: number;
  readonly #begin = performance.now();
  readonly #before: number;
  #done: number;
  #last = performance.now();
  #shown = false;

  /** @param before set-ups that were done before this run */
  constructor(io: Io, total: number, before: number) {
    this.#io = io;
    this.#total = total;
    this.#before = before;
    this.#done = before;
  }

  add(count: number): void {
    this.#done += count;
    const now = performance.now();
    if (now - this.#last < (this.#io.terminal ? ON_TERMINAL : IN_LOG)) return;
    this.#last = now;
    const rate = (this.#done - this.#before) / ((now - this.#begin) / 1000);
    const left = rate > 0 ? Math.ceil((this.#total - this.#done) / rate) : 0;
    const rates = rate >= 10 ? rate.toFixed(0) : rate.toFixed(1);
    const text = `${this.#done} of ${this.#total} set-ups, ${rates} a second, ${clockLeft(left)} left`;
    if (!this.#io.terminal) {
      this.#io.err(`${text}\n`);
      return;
    }
    const full = Math.round((BAR * this.#done) / this.#total);
    this.#io.err(`\r[${'='.repeat(full)}${' '.repeat(BAR - full)}] ${text}   `);
    this.#shown = true;
  }

  /** Takes the line away. */
  end(): void {
    if (this.#shown) this.#io.err(`\r${' '.repeat(98)}\r`);
  }
}

function clockLeft(seconds: number): string {
  if (seconds < 60) return `${seconds} s`;
  return seconds < 3600 ? `${Math.ceil(seconds / 60)} min` : `${(seconds / 3600).toFixed(1)} h`;
}
