/** What a file given on the command line is, by its keys or columns, before it is read as such. */
import type { Faults } from '../input/faults.ts';
import { type FileAccess, TABLE_LIMIT, YAML_LIMIT } from '../input/file-access.ts';
import { readSource, type Source, wholeFile } from '../input/source.ts';
import { cellsOf } from '../input/table-header.ts';
import { parseYaml, type YamlFile } from '../input/yaml-file.ts';
import { roadColumnNames, roadKind } from '../track/read-road.ts';
import { stageKeys } from '../track/read-stage.ts';
import { carKeys } from '../vehicle/read-car.ts';
import { engineColumnNames } from '../vehicle/read-engine.ts';

type YamlKind = 'car' | 'stage' | 'event' | 'changes' | 'scale';
type TableKind = 'road table' | 'engine table' | 'call list';

export type Opened =
  | { readonly kind: YamlKind; readonly yaml: YamlFile }
  | { readonly kind: TableKind; readonly source: Source };

export const isTableName = (path: string): boolean => /\.(csv|tsv|txt|xodr)$/i.test(path);

const isTrackName = (path: string): boolean => /\.(gpx|geojson)$/i.test(path);

/** Opens a file. @returns null where it is none of ours, or no sound text; the fault is reported */
export function openFile(path: string, files: FileAccess, faults: Faults): Opened | null {
  const table = isTableName(path);
  const source = readSource(path, files, table ? TABLE_LIMIT : YAML_LIMIT, faults, null);
  if (source === null) return null;
  if (table || (!/\.ya?ml$/i.test(path) && looksLikeTable(source)))
    return { kind: tableKind(source), source };
  if (isTrackName(path)) {
    faults.error(
      'file/kind',
      wholeFile(path),
      'the file is a recorded track, expected a car, a stage or a table of theirs',
      `make a stage of it: splitcast survey ${path} --out FOLDER`,
    );
    return null;
  }
  const yaml = parseYaml(source, faults);
  if (yaml === null) return null;
  const kind = yamlKind(yaml.data);
  if (kind !== null) return { kind, yaml };
  faults.error(
    'file/kind',
    wholeFile(path),
    'the file is neither a car nor a stage',
    'begin it with `car: NAME` or with `stage: NAME`',
  );
  return null;
}

/** By the key that names the thing, else by which keys are more of a car or of a stage. */
function yamlKind(data: YamlFile['data']): YamlKind | null {
  // An event and a change name cars in keys `car` of theirs, so these come first.
  for (const kind of ['event', 'changes', 'scale'] as const) if (Object.hasOwn(data, kind)) return kind;
  const share = (keys: readonly string[]) => keys.filter((key) => Object.hasOwn(data, key)).length;
  const asStage = share(stageKeys) + ('stage' in data ? 10 : 0);
  const asCar = share(carKeys) + ('car' in data ? 10 : 0);
  if (asStage === 0 && asCar === 0) return null;
  return asCar >= asStage ? 'car' : 'stage';
}

function tableKind(source: Source): TableKind {
  const names = firstCells(source, 10_000);
  if (names.includes('distance_m') && names.includes('call')) return 'call list';
  return names.includes('engine_rpm') && roadKind(names) === null ? 'engine table' : 'road table';
}

/** Whether one of the first lines names a column of ours. */
function looksLikeTable(source: Source): boolean {
  return firstCells(source, 2000).some((name) => [...roadColumnNames, ...engineColumnNames].includes(name));
}

function firstCells(source: Source, length: number): string[] {
  const lines = source.text.slice(0, length).split('\n');
  return lines.flatMap((line) => cellsOf(line.replace(/^#\s*/, '')).map((cell) => cell.text));
}
