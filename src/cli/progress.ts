/** How far a study is: one line that renews itself on a terminal, a plain line now and then elsewhere. */
import type { Io } from './io.ts';

/** Between lines [ms]. */
const ON_TERMINAL = 200;
const IN_LOG = 10_000;
const BAR = 24;

export class Progress {
  readonly #io: Io;
  readonly #total: number | null;
  readonly #begin = performance.now();
  readonly #before: number;
  #done: number;
  #last = performance.now();
  #shown = false;

  /**
   * @param total null where it is not known beforehand
   * @param before set-ups that were done before this run
   */
  constructor(io: Io, total: number | null, before: number) {
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
    const rates = `${rate >= 10 ? rate.toFixed(0) : rate.toFixed(1)} a second`;
    let text = `${this.#done} set-ups, ${rates}`;
    let bar = '';
    if (this.#total !== null) {
      const left = rate > 0 ? Math.ceil((this.#total - this.#done) / rate) : 0;
      text = `${this.#done} of ${this.#total} set-ups, ${rates}, ${clockLeft(left)} left`;
      const full = Math.round((BAR * this.#done) / this.#total);
      bar = `[${'='.repeat(full)}${' '.repeat(BAR - full)}] `;
    }
    if (!this.#io.terminal) {
      this.#io.err(`${text}\n`);
      return;
    }
    this.#io.err(`\r${bar}${text}   `);
    this.#shown = true;
  }

  /** Takes the line away. */
  end(): void {
    if (this.#shown) this.#io.err(`\r${' '.repeat(98)}\r`);
    this.#shown = false;
  }
}

function clockLeft(seconds: number): string {
  if (seconds < 60) return `${seconds} s`;
  return seconds < 3600 ? `${Math.ceil(seconds / 60)} min` : `${(seconds / 3600).toFixed(1)} h`;
}
