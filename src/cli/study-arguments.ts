import { type Command, Option } from 'commander';
import type { ChooseFlags } from './choose-command.ts';
import type { Io } from './io.ts';
import type { RankFlags } from './rank-command.ts';
import type { VaryFlags } from './vary-command.ts';

const RANK_EXAMPLES = `
Examples:
  splitcast rank event.yaml                            what each change is worth alone
  splitcast rank event.yaml --loop Morning --pairs     of one loop, and changes two by two
  splitcast rank event.yaml --draws 1024 --save rank.jsonl    stopped? again, with --resume
`;

const VARY_EXAMPLES = `
Examples:
  splitcast vary event.yaml --over driveline.final_drive=4.2..5.0/0.1 --chart curve.svg
  splitcast vary event.yaml --over mass=1300kg..1400kg/20kg           a unit at each number
  splitcast vary event.yaml --over driveline.final_drive=4.1,4.3,4.6  only these values
  splitcast vary event.yaml --over pace=0.8..1/0.05 --over "driveline.gears[6]=0.8,0.85" --coarse
`;

const CHOOSE_EXAMPLES = `
Examples:
  splitcast choose event.yaml                          what goes together best inside the limits
  splitcast choose event.yaml --loop Morning --csv choice.csv
`;

const AFTER = `
An event file and a file of changes to start from: stages/tarvenmoor, docs/study.md.
Closed roads only. A forecast is a limit, not a target.
`;

/** Adds the commands that try set-ups over an event. @param done takes the exit status */
export function addStudies(program: Command, io: Io, done: (status: number) => void): void {
  const study = (command: Command, examples: string) =>
    command
      .addHelpText('after', `${examples}${AFTER}`)
      .argument('<event>', 'event file')
      .option('--loop <name>', 'only the stages of this loop')
      .option('--step <length>', 'greatest distance between stations, such as 1m')
      .option('--workers <n>', 'threads to use; default: as many as the machine has cores')
      .option('--save <file>', 'record each set-up that is done, one line of JSON each')
      .option('--resume', 'go on with the record that --save names')
      .option('--shard <k/n>', 'only share k of n of the set-ups, into the record, for `splitcast merge`');
  study(program.command('rank'), RANK_EXAMPLES)
    .description('what each change of an event is worth alone, how sure that is, and where it is made')
    .addOption(new Option('--draws <n>', 'draws from what the event calls uncertain').default('64'))
    .option('--seed <n>', 'seed of the draws')
    .option('--pairs', 'also which two changes help or hinder each other')
    .option('--json', 'print the result as data, in full precision')
    .option('--csv <file>', 'also write one row a change')
    .action(async (event: string, options: RankFlags) => {
      const { rankCommand } = await import('./rank-command.ts');
      done(await rankCommand(event, options, io));
    });
  study(program.command('vary'), VARY_EXAMPLES)
    .description('move one or more values of the car over a grid: the best, and how flat it is there')
    .requiredOption(
      '--over <path=from..to/step>',
      'needed: value and grid, such as driveline.final_drive=4.2..5.0/0.1 or mass=1300kg..1400kg/20kg; may be given again',
      (text: string, before: readonly string[] = []) => [...before, text],
    )
    .addOption(
      new Option('--fineness <share>', 'refine round the best to this share of the step').default('0.05'),
    )
    .option('--coarse', 'the grid only, nothing finer')
    .option('--json', 'print the result as data, in full precision')
    .option('--csv <file>', 'also write one row a point of the grid')
    .option('--chart <file.svg>', 'also draw a curve (one value) or a map (two)')
    .action(async (event: string, options: VaryFlags) => {
      const { varyCommand } = await import('./vary-command.ts');
      done(await varyCommand(event, options, io));
    });
  study(program.command('choose'), CHOOSE_EXAMPLES)
    .description('the best changes and settings that go together inside the limits of an event')
    .addOption(
      new Option('--exact-up-to <n>', 'try all combinations where there are no more than these').default(
        '2000',
      ),
    )
    .addOption(new Option('--starts <n>', 'starts of the search where there are more').default('4'))
    .addOption(new Option('--patience <n>', 'jumps in a row without gain that end a search').default('6'))
    .option('--seed <n>', 'seed of the search')
    .option('--json', 'print the result as data, in full precision')
    .option('--csv <file>', 'also write one row a set-up: the choice and the runners-up')
    .action(async (event: string, options: ChooseFlags) => {
      const { chooseCommand } = await import('./choose-command.ts');
      done(await chooseCommand(event, options, io));
    });
  program
    .command('merge')
    .description('join the shares of a study (--shard) into one record')
    .argument('<out>', 'file for the whole record')
    .argument('<share...>', 'records of all shares')
    .action(async (out: string, shares: string[]) => {
      const { mergeCommand } = await import('./merge-command.ts');
      done(mergeCommand(out, shares, io));
    });
}
