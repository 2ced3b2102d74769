/** `splitcast merge`: joins the shares of a study into the record that one machine would have written. */
import { DONE, INPUT_FAULT, type Io } from './io.ts';
import { differs, inOrder, RecordError, type RecordLine, readRecord, writeRecord } from './record.ts';

export function mergeCommand(out: string, shares: readonly string[], io: Io): number {
  try {
    const read = shares.map((path) => ({ path, ...readRecord(path) }));
    const [first] = read;
    const lines: RecordLine[] = [];
    for (const { path, head, lines: more } of read) {
      const why = differs(head, first.head);
      if (why !== null) throw new RecordError(`${path}: is no share of the study of ${first.path}: ${why}`);
      lines.push(...more);
    }
    const whole = inOrder(first.head, lines);
    // What a share of a search would have tried is not known; what is missing of it is solved at the end.
    const total = first.head.set_ups ?? whole.length;
    const there = new Set(whole.map(({ n }) => n));
    const missing: number[] = [];
    for (let n = 0; n < total && missing.length < 5; n++) if (!there.has(n)) missing.push(n);
    if (missing.length > 0)
      throw new RecordError(
        `${out}: not written: of ${total} set-ups ${total - whole.length} are missing, the first ${missing.map((n) => n + 1).join(', ')}\nhelp: give all shares; one that was ended early goes on with the same command and --resume`,
      );
    try {
      writeRecord(out, first.head, whole);
    } catch (error) {
      throw new RecordError(
        `${out}: cannot be written: ${(error as NodeJS.ErrnoException).code ?? String(error)}`,
      );
    }
    io.out(
      `${shares.length} shares, ${total} set-ups, in ${out}; the same command with --save ${out} --resume prints the result\n`,
    );
    return DONE;
  } catch (error) {
    if (!(error instanceof RecordError)) throw error;
    io.err(`${error.message}\n`);
    return INPUT_FAULT;
  }
}
