/** What the surfaces of a stage do to a tyre: as written, under a condition, in a stretch of their own, or by default. */
import type { Faults } from '../input/faults.ts';
import { nearest } from '../input/nearest.ts';
import { wholeFile } from '../input/source.ts';
import type { YamlFile } from '../input/yaml-file.ts';
import { rollingReference } from '../numbers/surface-reference.ts';
import type { Roughness, SurfaceSpec } from './stage.ts';
import type { LaidSurface } from './surface-ranges.ts';

/** What a stage file says of one surface. */
export interface SurfaceEntry {
  readonly grip?: number | undefined;
  readonly rolling_resistance?: number | undefined;
  readonly roughness?: Roughness | undefined;
}

export type SurfaceEntries = ReadonlyMap<string, SurfaceEntry>;

/** The surfaces that a condition changes, none where no condition is asked for. An unknown one is reported. */
export function chosenCondition(
  name: string | undefined,
  conditions: ReadonlyMap<string, SurfaceEntries> | undefined,
  yaml: YamlFile,
  faults: Faults,
): SurfaceEntries {
  if (name === undefined) return new Map();
  const found = conditions?.get(name);
  if (found !== undefined) return found;
  const names = [...(conditions?.keys() ?? [])];
  if (Object.hasOwn(yaml.data, 'conditions') && names.length === 0) return new Map(); // reported as what it is
  const near = nearest(name, names);
  faults.error(
    'stage/condition',
    names.length === 0 ? wholeFile(yaml.source.file) : yaml.place(['conditions'], 'key'),
    `the stage has no condition ${name}`,
    names.length === 0
      ? `add, for example, \`conditions: {${name}: {gravel: {grip: 0.85}}}\`, or time it without a condition`
      : near === null
        ? `its conditions are ${names.join(', ')}`
        : `did you mean ${near}?`,
  );
  return new Map();
}

/**
 * What each laid surface does to a tyre. A stretch's own grip stands as written; under a condition it changes in the
 * proportion in which the condition changes the grip of its surface.
 * @param laid what each name of the road stands for
 */
export function surfaceSpecs(
  laid: ReadonlyMap<string, LaidSurface>,
  written: SurfaceEntries,
  condition: SurfaceEntries,
): Map<string, SurfaceSpec> {
  const specs = new Map<string, SurfaceSpec>();
  for (const [name, { surface, grip, roughness }] of laid) {
    const [base, now] = [written.get(surface), condition.get(surface)];
    const plain = base?.grip ?? 1;
    const here = now?.grip ?? plain;
    specs.set(name, {
      grip: grip === undefined ? here : (grip * here) / plain,
      rollingResistance:
        now?.rolling_resistance ?? base?.rolling_resistance ?? rollingReference(surface).value,
      roughness: roughness ?? now?.roughness ?? base?.roughness ?? null,
      ...(name === surface ? {} : { tyreSurface: surface }),
    });
  }
  return specs;
}

/** What was assumed of each surface that the stage file leaves open, one sentence each. */
export function surfaceAssumptions(
  laid: ReadonlyMap<string, LaidSurface>,
  written: SurfaceEntries,
  condition: SurfaceEntries,
): string[] {
  const said: string[] = [];
  for (const surface of new Set([...laid.values()].map((as) => as.surface))) {
    const [base, now] = [written.get(surface), condition.get(surface)];
    const everywhereOwn = [...laid.values()].every((as) => as.surface !== surface || as.grip !== undefined);
    const parts: string[] = [];
    if ((now?.grip ?? base?.grip) === undefined && !everywhereOwn) parts.push('grip factor 1');
    if ((now?.rolling_resistance ?? base?.rolling_resistance) === undefined) {
      const { value, least, most, source } = rollingReference(surface);
      const span = least === most ? '' : `; tables have ${least} to ${most}`;
      parts.push(`rolling resistance ${value} (${source}${span})`);
    }
    if (parts.length > 0) said.push(`Surface ${surface}: ${parts.join(', ')} assumed.`);
  }
  return said;
}

/** Which condition the forecast is for, in one sentence; none where the stage knows no conditions. */
export function conditionAssumption(
  name: string | undefined,
  condition: SurfaceEntries,
  names: readonly string[],
): string[] {
  if (names.length === 0) return [];
  if (name === undefined)
    return [`No condition chosen (of ${names.join(', ')}): the surfaces are as the stage file has them.`];
  const changed = [...condition].map(([surface, { grip, rolling_resistance, roughness }]) => {
    const parts = [
      grip === undefined ? null : `grip factor ${grip}`,
      rolling_resistance === undefined ? null : `rolling resistance ${rolling_resistance}`,
      roughness === undefined ? null : `roughness ${roughness}`,
    ].filter((part) => part !== null);
    return `${surface} with ${parts.join(' and ')}`;
  });
  return [`Condition ${name}: ${changed.join('; ')}; all else as the stage file has it.`];
}
