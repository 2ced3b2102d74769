/** Which roads of an OpenDRIVE file make the stage, in which order and direction. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { nearest } from '../input/nearest.ts';
import { wholeFile } from '../input/source.ts';
import type { OpenDriveRoad } from './open-drive.ts';
import { endOf, type PlanPoint } from './open-drive-curve.ts';

/** A road as the stage drives it. */
export interface DrivenRoad {
  readonly road: OpenDriveRoad;
  readonly against: boolean; // from its end to its start
}

/** The roads that a stage names, in the order of travel. */
export interface NamedRoads {
  readonly ids: readonly string[];
  place(index: number): Place;
}

/** Ends of two roads further apart than this do not meet [m]; No source. */
const MOST_GAP = 0.5;
const MOST_TURN = (10 * Math.PI) / 180;

/** Orders the roads. @returns null where they make no one stage; that is reported */
export function chainOf(
  roads: readonly OpenDriveRoad[],
  named: NamedRoads | null,
  file: string,
  faults: Faults,
): DrivenRoad[] | null {
  if (named !== null) return namedChain(roads, named, faults);
  const chain = linkedChain(roads);
  if (chain !== null) return chain;
  const ids = roads.slice(0, 12).map((road) => road.id);
  faults.error(
    'xodr/roads',
    wholeFile(file),
    `the file holds ${roads.length} roads that are not one chain: ${ids.join(', ')}${roads.length > 12 ? ', …' : ''}`,
    `name those of the stage in the order of travel: \`roads: [${ids.slice(0, 3).join(', ')}]\` in the stage file`,
  );
  return null;
}

/** All roads as the one chain that their links make; null where they do not. */
function linkedChain(roads: readonly OpenDriveRoad[]): DrivenRoad[] | null {
  if (roads.length === 1) return [{ road: roads[0], against: false }];
  const first = roads.find((road) => road.predecessor === null || road.predecessor.type !== 'road');
  if (first === undefined) return null;
  const byId = new Map(roads.map((road) => [road.id, road]));
  const chain: DrivenRoad[] = [];
  const used = new Set<string>();
  let next: DrivenRoad | null = { road: first, against: false };
  while (next !== null && !used.has(next.road.id)) {
    chain.push(next);
    used.add(next.road.id);
    const link: OpenDriveRoad['successor'] = next.against ? next.road.predecessor : next.road.successor;
    const road: OpenDriveRoad | undefined =
      link !== null && link.type === 'road' ? byId.get(link.id) : undefined;
    next = road === undefined ? null : { road, against: link!.contact === 'end' };
  }
  return chain.length === roads.length ? chain : null;
}

/** The named roads, each turned so that it goes on from the one before. */
function namedChain(roads: readonly OpenDriveRoad[], named: NamedRoads, faults: Faults): DrivenRoad[] | null {
  const before = faults.errors;
  const found: OpenDriveRoad[] = [];
  for (const [i, id] of named.ids.entries()) {
    const road = roads.find((candidate) => candidate.id === id);
    if (road !== undefined) {
      found.push(road);
      continue;
    }
    const ids = roads.map((candidate) => candidate.id);
    const near = nearest(id, ids);
    faults.error(
      'xodr/roads',
      named.place(i),
      `the file has no road ${id}`,
      near === null ? `its roads are ${ids.slice(0, 20).join(', ')}` : `did you mean ${near}?`,
    );
  }
  if (faults.errors > before) return null;
  const chain: DrivenRoad[] = [];
  for (const [i, road] of found.entries()) {
    // The first goes the way in which it meets the second.
    const options = [false, true].map((against): DrivenRoad => ({ road, against }));
    const fits = (option: DrivenRoad) =>
      i > 0
        ? meets(arrival(chain[i - 1]), departure(option))
        : found.length === 1 ||
          [false, true].some((against) => meets(arrival(option), departure({ road: found[1], against })));
    const option = options.find(fits);
    if (option === undefined) {
      const second = Math.max(1, i);
      faults.error(
        'xodr/roads',
        named.place(second),
        `the roads ${found[second - 1].id} and ${found[second].id} do not meet end to end`,
        'name every road of the stage in the order of travel, those inside junctions too',
      );
      return null;
    }
    chain.push(option);
  }
  return chain;
}

function startOf({ geometry: [first] }: OpenDriveRoad): PlanPoint {
  return { x: first.x, y: first.y, heading: first.heading, curvature: 0 };
}
const turned = (point: PlanPoint): PlanPoint => ({ ...point, heading: point.heading + Math.PI });
const departure = ({ road, against }: DrivenRoad): PlanPoint =>
  against ? turned(endOf(road.geometry.at(-1)!)) : startOf(road);
const arrival = ({ road, against }: DrivenRoad): PlanPoint =>
  against ? turned(startOf(road)) : endOf(road.geometry.at(-1)!);

function meets(a: PlanPoint, b: PlanPoint): boolean {
  const turn = a.heading - b.heading;
  return (
    Math.hypot(a.x - b.x, a.y - b.y) <= MOST_GAP &&
    Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn))) <= MOST_TURN
  );
}
