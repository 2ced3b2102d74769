import { Command, CommanderError, Option } from 'commander';
import { DONE, INPUT_FAULT, type Io, OUR_FAULT } from './io.ts';
import { addNotes } from './notes-arguments.ts';
import { addStudies } from './study-arguments.ts';
import { addSurvey } from './survey-arguments.ts';
import type { TimeFlags } from './time-command.ts';
import { VERSION } from './version.ts';

const EXAMPLES = `
Examples:
  splitcast check car.yaml stage.yaml                     all that is wrong with the files
  splitcast time car.yaml stage.yaml                      the time through each sector
  splitcast time car.yaml stage.yaml --condition wet      on the surfaces of a wet day
  splitcast time car.yaml one.yaml two.yaml --json        several stages, as data
  splitcast survey recce.gpx --out stages/mill            a stage of a recorded track
  splitcast rank event.yaml                               what each change to the car is worth

A car and a stage to start from: README.md, docs/files.md, stages/tarvenmoor.
Closed roads only. A forecast is a limit, not a target.
`;

/**
 * Runs the command with its arguments (without node and script) and returns the exit status.
 * What a command needs is loaded when it runs, so that help and errors come at once.
 */
export async function main(argv: readonly string[], io: Io): Promise<number> {
  let status = DONE;
  const program: Command = new Command('splitcast')
    .description(
      'Forecasts the time of a car through the sectors of closed-road stages, and what changes to it are worth.',
    )
    .version(VERSION, '--version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand(false)
    .showHelpAfterError('help: `splitcast help COMMAND` prints how a command is written')
    .addHelpText('after', EXAMPLES)
    .exitOverride()
    .configureOutput({ writeOut: io.out, writeErr: io.err });
  program
    .command('time')
    .description('time a car over one or more stages: sectors, what holds it, what to watch')
    .argument('<car>', 'car file')
    .argument('<stage...>', 'stage files')
    .option('--json', 'print the result as data, in full precision')
    .option(
      '--channels <file.csv>',
      'also write one row a station: speed, gear, accelerations, load, what holds the car',
    )
    .addOption(new Option('--step <length>', 'greatest distance between stations, such as 1m').default('1m'))
    .option('--condition <name>', 'surfaces as the stage file has them under this condition, such as wet')
    .action(async (car: string, stages: string[], options: TimeFlags) => {
      const { timeCommand } = await import('./time-command.ts');
      status = timeCommand(car, stages, options, io);
    });
  program
    .command('check')
    .description('say all that is wrong with files: cars, stages, tables, events, changes, scales')
    .argument('<file...>', 'files to check')
    .action(async (files: string[]) => {
      const [{ check }, { nodeFiles }] = await Promise.all([import('./check.ts'), import('./node-files.ts')]);
      const { text, status: found } = check(files, nodeFiles);
      io.out(text);
      status = found;
    });
  addSurvey(program, io, (found) => {
    status = found;
  });
  addNotes(program, io, (found) => {
    status = found;
  });
  addStudies(program, io, (found) => {
    status = found;
  });
  program
    .command('help')
    .description('print this help, or the arguments and flags of one command')
    .argument('[command]', 'one of the commands')
    .action((name?: string) => {
      const command = name === undefined ? program : program.commands.find((each) => each.name() === name);
      if (command === undefined) program.error(`error: unknown command '${name}'`);
      command.outputHelp();
    });
  try {
    await program.parseAsync(argv, { from: 'user' });
    return status;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? DONE : INPUT_FAULT;
    io.err(`splitcast failed: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
    io.err('This is a fault of splitcast, not of your files. Please keep the files that led to it.\n');
    return OUR_FAULT;
  }
}
