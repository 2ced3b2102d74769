/** Set-ups tried in several threads. Outcomes do not depend on how many there are: each set-up stands for itself. */
import { Worker } from 'node:worker_threads';
import { InputError } from '../input/diagnostic.ts';
import type { Outcome, SetUp } from '../study/set-up.ts';
import type { StudyTexts } from '../study/study.ts';
import type { WorkerAnswer, WorkerTask } from './worker.ts';

/** Set-ups handed to a thread at once: few, so that all threads end together. No source. */
const CHUNK = 4;

export interface Pool {
  /** Tries set-ups; `done` is called as each chunk comes back. */
  evaluate(
    setUps: readonly SetUp[],
    done: (from: number, outcomes: readonly Outcome[]) => void,
  ): Promise<void>;
  close(): Promise<void>;
}

/** Whether this code can start threads: from the built package, not from its sources. */
export const canStartThreads = import.meta.url.endsWith('.js');

/** Starts threads that each make the study anew from its texts. */
export function startPool(texts: StudyTexts, threads: number): Pool {
  const workers = Array.from(
    { length: threads },
    () => new Worker(new URL('./worker.js', import.meta.url), { workerData: texts }),
  );
  return {
    evaluate: (setUps, done) =>
      new Promise<void>((resolve, reject) => {
        let next = 0;
        let open = 0;
        const give = (worker: Worker) => {
          if (next >= setUps.length) {
            if (open === 0) resolve();
            return;
          }
          const task: WorkerTask = { from: next, setUps: setUps.slice(next, next + CHUNK) };
          next += CHUNK;
          open++;
          worker.postMessage(task);
        };
        for (const worker of workers) {
          worker.removeAllListeners();
          worker.on('error', reject);
          worker.on('message', (answer: WorkerAnswer) => {
            open--;
            if ('diagnostics' in answer) reject(new InputError(answer.diagnostics));
            else {
              try {
                done(answer.from, answer.outcomes);
                give(worker);
              } catch (error) {
                reject(error as Error);
              }
            }
          });
          give(worker);
        }
        if (setUps.length === 0) resolve();
      }),
    close: async () => {
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}
