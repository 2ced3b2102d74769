/** `splitcast export STAGE --out FILE`: a stage with its splits for any map. */
import { existsSync } from 'node:fs';
import { InputError } from '../input/diagnostic.ts';
import { escaped, renderDiagnostic } from '../input/render-diagnostic.ts';
import { geojsonOf, gpxOf, lackingForMap, stageMap } from '../report/stage-map.ts';
import { readStage } from '../track/read-stage.ts';
import type { Stage } from '../track/stage.ts';
import { DONE, INPUT_FAULT, type Io } from './io.ts';
import { nodeFiles } from './node-files.ts';
import { writeWhole } from './write-whole.ts';

export function exportCommand(
  path: string,
  flags: { readonly out: string; readonly force?: true },
  io: Io,
): number {
  const refuse = (message: string, help: string) => {
    io.err(`${message}\nhelp: ${help}\nnothing written\n`);
    return INPUT_FAULT;
  };
  const out = escaped(flags.out);
  const kind = /\.gpx$/i.test(flags.out) ? gpxOf : /\.(?:geo)?json$/i.test(flags.out) ? geojsonOf : null;
  if (kind === null)
    return refuse(
      `--out ${out}: expected a file name that ends in .gpx or .geojson`,
      'write --out stage.gpx',
    );
  let stage: Stage;
  try {
    stage = readStage(path, nodeFiles);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    io.err(`${error.diagnostics.map(renderDiagnostic).join('\n')}\nnothing written\n`);
    return INPUT_FAULT;
  }
  const lacking = lackingForMap(stage);
  if (lacking !== null)
    return refuse(`${escaped(path)}: error: ${lacking.message} [export/position]`, lacking.help);
  if (existsSync(flags.out) && flags.force !== true)
    return refuse(`${out} is there already`, 'add --force to write over it, or choose another --out');
  try {
    writeWhole(flags.out, kind(stageMap(stage)));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return refuse(`${out}: cannot be written: ${code}`, 'check the folder and your rights in it');
  }
  io.out(`wrote ${out}: ${escaped(stage.name)} with start, ${stage.splits.length} splits and finish\n`);
  return DONE;
}
