import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';

/** What was modelled for this car on this stage, and what was left out, one sentence each. */
export function describeModel(spec: CarSpec, stage: Stage): string[] {
  const { driveline, engine } = spec;
  const lines = [
    'The car is a point mass on the road’s centre line; the tyres give a friction ellipse on the load that grade, crossfall, crests, dips and downforce leave.',
    `The driver uses ${Math.round(spec.pace * 1000) / 10} % of the tyres’ grip.`,
  ];
  if (engine.kind === 'constant-power')
    lines.push('The engine gives the same power at every speed; there are no gears.');
  else {
    lines.push(
      `Drive comes from the full-load curve through ${driveline.gearing.length} gears; an upshift takes ${driveline.shift} s without drive, changing down takes no time; the clutch slips below the launch speed in first gear.`,
    );
  }
  if (driveline.driven !== 'all') {
    lines.push(
      `Drive is held to ${Math.round(driveline.drivenLoad * 1000) / 10} % of the tyres’ force, the load on the ${driveline.driven} axle at rest.`,
    );
  }
  if (spec.brakeForce === null) lines.push('No brake force is given: the tyres alone limit braking.');
  if (spec.roadLoad) lines.push('Resistance comes from coast-down coefficients.');
  lines.push(
    'Left out: load transfer, differentials, suspension, tyre temperature and wear, engine braking, flight paths, and the driver’s corrections.',
  );
  if ([...stage.surfaces.values()].some(({ roughness }) => roughness !== null))
    lines.push('Left out too: the roughness of the road, where a stage states it.');
  return lines;
}
