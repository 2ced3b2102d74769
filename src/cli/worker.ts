/** One thread of a study: makes the study from its texts, then tries what set-ups it is given. */
import { parentPort, workerData } from 'node:worker_threads';
import { type Diagnostic, InputError } from '../input/diagnostic.ts';
import type { Outcome, SetUp } from '../study/set-up.ts';
import { reopenStudy, type StudyTexts } from '../study/study.ts';

export interface WorkerTask {
  readonly from: number;
  readonly setUps: readonly SetUp[];
}

export type WorkerAnswer =
  | { readonly from: number; readonly outcomes: readonly Outcome[] }
  | { readonly diagnostics: readonly Diagnostic[] };

const study = reopenStudy(workerData as StudyTexts);

parentPort!.on('message', ({ from, setUps }: WorkerTask) => {
  let answer: WorkerAnswer;
  try {
    answer = { from, outcomes: setUps.map((setUp) => study.evaluate(setUp)) };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    answer = { diagnostics: error.diagnostics };
  }
  parentPort!.postMessage(answer);
});
