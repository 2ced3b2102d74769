/** `splitcast rank`: what each change is worth alone. */
import { rankData, rankRows } from '../report/rank-data.ts';
import { rankText } from '../report/rank-text.ts';
import { pairSetUps, rank, rankSetUps } from '../study/rank.ts';
import type { Io } from './io.ts';
import { INPUT_FAULT } from './io.ts';
import { FlagError, runStudy, type StudyFlags, wholeFlag, writeOut } from './study-run.ts';

export interface RankFlags extends StudyFlags {
  readonly draws: string;
  readonly pairs?: true;
  readonly json?: true;
  readonly csv?: string;
}

export async function rankCommand(path: string, flags: RankFlags, io: Io): Promise<number> {
  let draws: number;
  try {
    draws = wholeFlag('--draws', flags.draws, 0, 100_000);
  } catch (error) {
    io.err(`${(error as FlagError).message}\n`);
    return INPUT_FAULT;
  }
  const pairs = flags.pairs === true;
  return await runStudy(
    path,
    flags,
    (study) => {
      if ((study.event.changes?.changes.length ?? 0) === 0)
        throw new FlagError(
          `${path}: there are no changes to rank\nhelp: write \`changes: changes.yaml\` into the event, with a list of changes in that file`,
        );
      const taken = study.event.uncertain.length > 0 ? draws : 0;
      return {
        name: `rank, ${taken} draws${pairs ? ', pairs' : ''}`,
        plan: () => [...rankSetUps(study, taken), ...(pairs ? pairSetUps(study) : [])],
        run: async (_, evaluate) => {
          const ranking = await rank(study, evaluate, draws, pairs);
          if (flags.csv !== undefined) writeOut(flags.csv, rankRows(study, ranking));
          return flags.json
            ? `${JSON.stringify(rankData(study, ranking), null, 2)}\n`
            : rankText(study, ranking);
        },
      };
    },
    io,
  );
}
