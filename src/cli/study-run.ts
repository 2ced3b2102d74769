/** What `rank`, `vary` and `choose` have in common: flags, files, threads, record, progress, Ctrl-C. */
import { createHash } from 'node:crypto';
import { availableParallelism } from 'node:os';
import { InputError } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import { escaped, renderDiagnostic } from '../input/render-diagnostic.ts';
import { StageError } from '../sim/stage-error.ts';
import { BASE, type Evaluate, type Outcome, type SetUp, setUpKey } from '../study/set-up.ts';
import { openStudy, type Study } from '../study/study.ts';
import { DONE, INPUT_FAULT, type Io, STOPPED } from './io.ts';
import { nodeFiles } from './node-files.ts';
import { canStartThreads, type Pool, startPool } from './pool.ts';
import { Progress } from './progress.ts';
import { RecordError, Recorder } from './record.ts';
import { readStep } from './step-flag.ts';
import { writeWhole } from './write-whole.ts';

export interface StudyFlags {
  readonly step?: string;
  readonly loop?: string;
  readonly seed?: string;
  readonly workers?: string;
  readonly save?: string;
  readonly resume?: true;
  readonly shard?: string;
}

/** A flag that is wrong, with what to write. */
export class FlagError extends Error {}

/** Writes a file whole. @throws FlagError where that cannot be */
export function writeOut(path: string, chunks: Iterable<string>): void {
  try {
    writeWhole(path, chunks);
  } catch (error) {
    throw new FlagError(
      `${path}: cannot be written: ${(error as NodeJS.ErrnoException).code ?? String(error)}`,
    );
  }
}

/** What a command does with a study. */
export interface StudyTask {
  /** The command and the flags that its set-ups depend on, for the record. */
  readonly name: string;
  /** All set-ups, where they are known beforehand; null where a search finds them. */
  readonly plan: (study: Study) => readonly SetUp[] | null;
  readonly run: (study: Study, evaluate: Evaluate) => Promise<string>;
  /** Of a search: what is split into shares. */
  readonly starts?: {
    readonly count: number;
    /** Tries what share k of n of the starts lead to. */
    readonly run: (evaluate: Evaluate, k: number, n: number) => Promise<void>;
  };
}

class Stopped extends Error {}

/** A whole number from a flag. @throws FlagError */
export function wholeFlag(flag: string, value: string, least: number, most: number): number {
  const x = Number(value);
  if (/^\d+$/.test(value.trim()) && x >= least && x <= most) return x;
  throw new FlagError(`${flag} ${value}: expected a whole number from ${least} to ${most}`);
}

/** Reads the event, does the task, prints what it says. Nothing is printed of the result unless all is sound. */
export async function runStudy(
  path: string,
  flags: StudyFlags,
  task: (study: Study) => StudyTask,
  io: Io,
): Promise<number> {
  try {
    const step = stepFlag(flags.step);
    const seed = flags.seed === undefined ? undefined : wholeFlag('--seed', flags.seed, 0, 2 ** 31);
    const shard = shardFlag(flags);
    const threads =
      flags.workers === undefined ? availableParallelism() : wholeFlag('--workers', flags.workers, 1, 256);
    if (flags.resume && flags.save === undefined)
      throw new FlagError('--resume: expected --save FILE with it, the record to go on with');
    const faults = new Faults();
    const study = openStudy(
      path,
      nodeFiles,
      {
        ...(step === undefined ? {} : { step }),
        ...(flags.loop === undefined ? {} : { loop: flags.loop }),
        ...(seed === undefined ? {} : { seed }),
      },
      faults,
    );
    for (const d of faults.all())
      if (study === null || d.severity === 'warning') io.err(`${renderDiagnostic(d)}\n`);
    if (study === null) return refused(faults.errors, io);
    checkBase(study);
    return await carryOut(study, task(study), flags, shard, threads, io);
  } catch (error) {
    if (error instanceof FlagError || error instanceof RecordError) {
      io.err(`${error.message}\n`);
      return INPUT_FAULT;
    }
    if (error instanceof InputError) {
      for (const d of error.diagnostics) io.err(`${renderDiagnostic(d)}\n`);
      return refused(error.diagnostics.length, io);
    }
    if (error instanceof StageError) {
      io.err(`${path}: error: the base car, ${error.message}\nhelp: ${error.help}\n`);
      return INPUT_FAULT;
    }
    throw error;
  }
}

/** Gains are counted from the car as it stands, so that must finish. @throws FlagError, StageError */
function checkBase(study: Study): void {
  const runs = study.forecasts(BASE, study.car(BASE));
  const stopped = runs.findIndex(({ time }) => time === null);
  if (stopped === -1) return;
  const { stage, stoppedAt } = runs[stopped];
  const { condition } = study.courses[stopped];
  throw new FlagError(
    `${study.event.carPath}: error: the car as it stands cannot finish ${escaped(stage)}${condition === null ? '' : ` (${escaped(condition)})`}: it stops at ${(stoppedAt! / 1000).toFixed(3)} km\nhelp: begin with a car that finishes; \`splitcast time\` shows where it is held`,
  );
}

function refused(count: number, io: Io): number {
  io.err(`${count === 1 ? '1 fault' : `${count} faults`}, nothing timed\n`);
  return INPUT_FAULT;
}

function stepFlag(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  try {
    return readStep(text);
  } catch (error) {
    throw new FlagError((error as RangeError).message);
  }
}

function shardFlag({ shard, save }: StudyFlags): { readonly k: number; readonly n: number } | null {
  if (shard === undefined) return null;
  const found = /^(\d+)\/(\d+)$/.exec(shard.trim());
  const [k, n] = found === null ? [0, 0] : [Number(found[1]), Number(found[2])];
  if (!(k >= 1 && k <= n && n <= 100_000))
    throw new FlagError(`--shard ${shard}: expected k/n, share k of n, such as 1/4`);
  if (save === undefined)
    throw new FlagError('--shard: expected --save FILE with it, where the share goes for `splitcast merge`');
  return { k, n };
}

/** A text that tells the inputs of a study apart: all files read, and the options. */
function digestOf(study: Study): string {
  const hash = createHash('sha256');
  const { step, loop, seed } = study.options;
  hash.update(JSON.stringify([step ?? null, loop ?? null, seed ?? null]));
  for (const bytes of study.texts.values()) hash.update(`\n${bytes.length}\n`).update(bytes);
  return hash.digest('hex');
}

async function carryOut(
  study: Study,
  task: StudyTask,
  flags: StudyFlags,
  shard: { readonly k: number; readonly n: number } | null,
  threads: number,
  io: Io,
): Promise<number> {
  const plan = task.plan(study);
  const starts = task.starts?.count ?? 0;
  if (shard !== null && plan === null && shard.n > starts)
    throw new FlagError(
      `--shard ${flags.shard}: a share of this search is some of its ${starts} starts, so there are at most ${starts} shares\nhelp: search from more places with --starts`,
    );
  const head = { study: task.name, inputs: digestOf(study), set_ups: plan?.length ?? null };
  const recorder = new Recorder(flags.save ?? null, head, flags.resume === true);
  const runner = new Runner(study, recorder, plan, threads, io);
  const onSignal = () => runner.stop();
  process.once('SIGINT', onSignal);
  let finished = false;
  try {
    if (shard !== null) {
      const { k, n } = shard;
      const share = plan?.filter((_, i) => i % n === k - 1);
      if (share !== undefined) await runner.evaluate(share);
      else await task.starts!.run(runner.evaluate, k, n);
      finished = true;
      const of = plan === null ? 'set-ups of a search' : `of ${plan.length} set-ups`;
      io.out(`Share ${k} of ${n}: ${share?.length ?? recorder.kept} ${of}, in ${flags.save}\n`);
      return DONE;
    }
    const text = await task.run(study, runner.evaluate);
    finished = true;
    io.out(text);
    return DONE;
  } catch (error) {
    if (!(error instanceof Stopped)) throw error;
    const goOn =
      flags.save === undefined
        ? 'Nothing is kept; with --save FILE a run can be gone on with.'
        : `${recorder.kept} set-ups are kept in ${flags.save}; the same command with --resume goes on.`;
    io.err(`Stopped. ${goOn}\n`);
    return STOPPED;
  } finally {
    process.off('SIGINT', onSignal);
    recorder.close(finished);
    await runner.close();
  }
}

/** Threads are started for so many solves; fewer take less time than the start. From a trial on 2 cores. */
const WORTH_THREADS = 150;

class Runner {
  readonly #study: Study;
  readonly #recorder: Recorder;
  /** Places of the planned set-ups; null where every set-up gets the next place. */
  readonly #places: ReadonlyMap<string, number> | null;
  readonly #threads: number;
  readonly #io: Io;
  readonly #progress: Progress | null;
  #pool: Pool | null = null;
  #next: number;
  #stopped = false;

  constructor(study: Study, recorder: Recorder, plan: readonly SetUp[] | null, threads: number, io: Io) {
    this.#study = study;
    this.#recorder = recorder;
    this.#places = plan === null ? null : new Map(plan.map((setUp, n) => [setUpKey(setUp), n]));
    this.#threads = threads;
    this.#io = io;
    this.#next = recorder.kept;
    this.#progress = plan === null ? new Progress(io, null, 0) : null;
  }

  stop(): void {
    this.#stopped = true;
  }

  readonly evaluate: Evaluate = async (setUps) => {
    const missing = new Map<string, SetUp>();
    for (const setUp of setUps)
      if (this.#recorder.find(setUp) === undefined) missing.set(setUpKey(setUp), setUp);
    const todo = [...missing.values()];
    const places = todo.map((setUp) =>
      this.#places === null ? this.#next++ : (this.#places.get(setUpKey(setUp)) ?? null),
    );
    // A search asks for a few set-ups at a time: its progress is counted over the whole.
    const progress = this.#progress ?? new Progress(this.#io, setUps.length, setUps.length - todo.length);
    const take = (from: number, outcomes: readonly Outcome[]) => {
      for (const [k, outcome] of outcomes.entries())
        this.#recorder.add(places[from + k], todo[from + k], outcome);
      progress.add(outcomes.length);
      if (this.#stopped) throw new Stopped();
    };
    try {
      const solves = todo.length * this.#study.courses.length;
      if (this.#pool === null && this.#threads > 1 && canStartThreads && solves > WORTH_THREADS)
        this.#pool = startPool(this.#study.toTexts(), this.#threads);
      if (this.#pool !== null) await this.#pool.evaluate(todo, take);
      else {
        for (const [k, setUp] of todo.entries()) {
          take(k, [this.#study.evaluate(setUp)]);
          if (k % 4 === 3) await new Promise((resolve) => setImmediate(resolve)); // lets Ctrl-C through
        }
      }
    } finally {
      progress.end();
    }
    return setUps.map((setUp) => this.#recorder.find(setUp)!);
  };

  async close(): Promise<void> {
    await this.#pool?.close();
  }
}
