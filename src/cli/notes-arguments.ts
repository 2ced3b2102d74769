/** Arguments of `splitcast notes`; what it does is loaded when it runs. */
import { type Command, Option } from 'commander';
import { RADII } from '../track/pace-notes.ts';
import type { Io } from './io.ts';
import type { NotesFlags } from './notes-command.ts';

const EXAMPLES = `
Examples:
  splitcast notes calls.csv --scale scale.yaml --out stages/mill --surface gravel
  splitcast notes calls.csv --scale scale.yaml --out stages/mill --radii tight

A call list and a scale to start from: docs/pace-notes.md.
`;

export function addNotes(program: Command, io: Io, done: (status: number) => void): void {
  program
    .command('notes')
    .description('make a stage of pace notes: a list of calls, and a scale that says what they mean')
    .argument('<calls>', 'call list, a table with distance_m and call')
    .requiredOption('--scale <file>', 'needed: the scale, a file that says what the words mean')
    .requiredOption('--out <folder>', 'needed: folder for the stage file and its road table')
    .option('--name <name>', 'name of the stage; default: of the call list')
    .addOption(
      new Option('--radii <end>', 'which end of the radius ranges is written')
        .choices(RADII)
        .default('middle'),
    )
    .addOption(new Option('--surface <name>', 'surface where the call list names none').default('asphalt'))
    .option('--car <file>', 'car that is timed to show the spread; default: the one of the examples')
    .option('--force', 'write over files that are there already')
    .addHelpText('after', EXAMPLES)
    .action(async (calls: string, flags: NotesFlags) => {
      const { notesCommand } = await import('./notes-command.ts');
      done(notesCommand(calls, flags, io));
    });
}
