/** Arguments of `splitcast survey` and `splitcast export`; what they do is loaded when they run. */
import { type Command, Option } from 'commander';
import type { Io } from './io.ts';
import type { SurveyFlags } from './survey-flags.ts';

const SURVEY_EXAMPLES = `
Examples:
  splitcast survey recce.gpx --out stages/mill --surface gravel
  splitcast survey first.gpx second.gpx --out stages/mill           two passes, averaged
  splitcast survey day.gpx --out stages/mill --track 2 --from 46.52337,7.21234 --to 9.4km
  splitcast survey recce.gpx --out stages/mill --preview mill.svg   a picture to look at

What the lines of the output mean: docs/survey.md.
`;

export function addSurvey(program: Command, io: Io, done: (status: number) => void): void {
  program
    .command('survey')
    .description('make a stage of recorded positions: GPX, GeoJSON, or CSV with lat,lon or x_m,y_m')
    .argument('<input...>', 'files with tracks; several passes of one road are averaged')
    .requiredOption('--out <folder>', 'needed: folder for the stage file and its road table')
    .option('--name <name>', 'name of the stage; default: of the track, or of the file')
    .option('--track <numbers>', 'which tracks, such as 2 or 2,3, where the input has several roads')
    .option(
      '--from <place>',
      'where the stage begins: 1.2km along the track, or the point nearest to LAT,LON',
    )
    .option('--to <place>', 'where it ends')
    .option('--reverse', 'the stage runs against the track; --from and --to count its way')
    .addOption(new Option('--surface <name>', 'surface of the whole road').default('asphalt'))
    .addOption(
      new Option('--line <line>', 'centre, or smooth: a path within the width of the road').default('centre'),
    )
    .option('--width <length>', 'width of the road for --line smooth, where the input has none')
    .option('--preview <file>', 'a picture of the road, its height and curvature, .svg or .png')
    .option(
      '--car <file>',
      'car that is timed to show how sure the road is; default: the one of the examples',
    )
    .option('--force', 'write over files that are there already')
    .addHelpText('after', SURVEY_EXAMPLES)
    .action(async (inputs: string[], flags: SurveyFlags) => {
      const { surveyCommand } = await import('./survey-command.ts');
      done(await surveyCommand(inputs, flags, io));
    });
  program
    .command('export')
    .description('write a stage with its splits for maps: GPX or GeoJSON')
    .argument('<stage>', 'stage file, with positions in its road table')
    .requiredOption('--out <file>', 'needed: file to write, .gpx or .geojson')
    .option('--force', 'write over a file that is there already')
    .action(async (stage: string, flags: { out: string; force?: true }) => {
      const { exportCommand } = await import('./export-command.ts');
      done(exportCommand(stage, flags, io));
    });
}
