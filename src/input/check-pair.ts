/** What a car and a stage must have in common before the one can be timed over the other. */
import { surfaceReference } from '../numbers/surface-reference.ts';
import type { Diagnostic, Place } from './diagnostic.ts';
import { Faults } from './faults.ts';
import { nearest } from './nearest.ts';
import { wholeFile } from './source.ts';

/** The parts of a car that matter here. */
export interface PairCar {
  readonly file: string;
  readonly tyre: { readonly grip: ReadonlyMap<string, unknown> };
}

/** The parts of a stage that matter here. */
export interface PairStage {
  readonly file: string;
  readonly surfaces: ReadonlyMap<string, { readonly tyreSurface?: string }>;
  readonly places?: { readonly surfaces: ReadonlyMap<string, Place> };
}

/** Reports each surface of the stage that the car's tyre has no grip for, where the road first names it. */
export function checkPair(car: PairCar, stage: PairStage): readonly Diagnostic[] {
  const faults = new Faults();
  const known = [...car.tyre.grip.keys()];
  const names = [...stage.surfaces].map(([name, { tyreSurface }]) => tyreSurface ?? name);
  for (const name of new Set(names)) {
    if (car.tyre.grip.has(name)) continue;
    const near = nearest(name, known);
    const tables = surfaceReference(name)?.adhesion ?? null;
    const such = `such as \`${name}: ${tables?.value ?? 0.7}\``;
    const span = tables === null ? '' : ` (tables have ${tables.least} to ${tables.most}; measure yours)`;
    const add = `add its grip to tyre.grip in ${car.file}, ${such}${span}`;
    faults.error(
      'pair/no-grip',
      stage.places?.surfaces.get(name) ?? wholeFile(stage.file),
      `the tyre of ${car.file} has no grip for the surface ${name}`,
      near === null ? `${add}; it has ${known.join(', ')}` : `write ${near} here if that is meant, or ${add}`,
    );
  }
  return faults.all();
}
