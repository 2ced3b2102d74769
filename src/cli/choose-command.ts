/** `splitcast choose`: the best changes and settings that go together. */
import { chooseData, chooseRows } from '../report/choose-data.ts';
import { type ChooseReport, chooseText } from '../report/choose-text.ts';
import { type ChooseOptions, choose, chooseSetUps, chooseShare } from '../study/choose.ts';
import { asksForGears, freeRatios } from '../study/free-ratios.ts';
import { settingsOf } from '../study/settings.ts';
import { flipWords } from '../study/whole-cars.ts';
import { INPUT_FAULT, type Io } from './io.ts';
import { FlagError, runStudy, type StudyFlags, wholeFlag, writeOut } from './study-run.ts';

export interface ChooseFlags extends StudyFlags {
  readonly exactUpTo: string;
  readonly starts: string;
  readonly patience: string;
  readonly json?: true;
  readonly csv?: string;
}

export async function chooseCommand(path: string, flags: ChooseFlags, io: Io): Promise<number> {
  let options: ChooseOptions;
  try {
    options = {
      exactUpTo: wholeFlag('--exact-up-to', flags.exactUpTo, 0, 10_000_000),
      chains: wholeFlag('--starts', flags.starts, 1, 1000),
      patience: wholeFlag('--patience', flags.patience, 0, 1000),
      seed: flags.seed === undefined ? 1 : wholeFlag('--seed', flags.seed, 0, 2 ** 31),
    };
  } catch (error) {
    io.err(`${(error as FlagError).message}\n`);
    return INPUT_FAULT;
  }
  return await runStudy(
    path,
    flags,
    (study) => {
      if (study.event.changes === null)
        throw new FlagError(
          `${path}: there is nothing to choose from\nhelp: write \`changes: changes.yaml\` into the event, with changes or ranges in that file`,
        );
      const plan = chooseSetUps(study, options.exactUpTo);
      const how = plan === null ? `search ${JSON.stringify(options)}` : 'all combinations';
      return {
        name: `choose, ${how}`,
        plan: () => plan,
        starts: {
          count: options.chains,
          run: (evaluate, k, n) => chooseShare(study, evaluate, options, k, n),
        },
        run: async (_, evaluate) => {
          const chosen = await choose(study, evaluate, options);
          const best = chosen.best?.setUp ?? null;
          const about = best === null ? { words: [], leans: [] } : await settingsOf(study, evaluate, best);
          const free = best !== null && asksForGears(study) ? await freeRatios(study, evaluate, best) : null;
          const report: ChooseReport = { chosen, ...about, free, flips: flipWords(study) };
          if (flags.csv !== undefined) writeOut(flags.csv, chooseRows(study, report));
          return flags.json
            ? `${JSON.stringify(chooseData(study, report), null, 2)}\n`
            : chooseText(study, report);
        },
      };
    },
    io,
  );
}
