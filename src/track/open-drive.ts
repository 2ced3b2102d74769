/** An ASAM OpenDRIVE file as its roads: plan geometry, height, superelevation, and what its lanes are made of. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { shown } from '../input/fields.ts';
import type { Source } from '../input/source.ts';
import { walkXml, type XmlPlaces } from '../input/xml.ts';
import { endOf, type Geometry, type Shape } from './open-drive-curve.ts';

/** A cubic over the distance from where it begins: a + b d + c d² + d d³. */
export interface Profile {
  readonly s: number; // [m]
  readonly abcd: readonly [number, number, number, number];
}

/** What the lanes are made of from a place on. */
export interface Material {
  readonly s: number; //               [m]
  readonly friction: number; //        factor on the tyre's grip [–]; the least of the lanes that are driven on
  readonly surface: string | null; //  null: not named
}

export interface RoadLink {
  readonly type: string; //  road or junction
  readonly id: string;
  readonly contact: 'start' | 'end' | null;
}

export interface OpenDriveRoad {
  readonly id: string;
  readonly predecessor: RoadLink | null;
  readonly successor: RoadLink | null;
  readonly geometry: readonly Geometry[]; //        one or more, in the order of s
  readonly elevation: readonly Profile[]; //        [m]
  readonly superelevation: readonly Profile[]; //   [rad], positive where the road falls to the right
  readonly materials: readonly Material[];
}

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const ANY = Number.MAX_VALUE;

/** Lanes that a car drives on; others are kerbs, verges, paths and the like. */
const DRIVEN = new Set(['driving', 'bidirectional', 'entry', 'exit', 'onRamp', 'offRamp', 'connectingRamp']);

/** Pieces that miss each other by more than this make no road [m]; by more than this in heading [rad]. No source. */
const MOST_GAP = 0.5;
const MOST_TURN = (5 * Math.PI) / 180;
/** A road longer than this, or a piece shorter than that, is a slip of the unit [m]. No source. */
const LONGEST = 1e6;
const SHORTEST = 1e-4;
/** No car turns tighter than with a radius of 1 m. Common practice, no source. */
const TIGHTEST = 1;
/** More than eight full circles in one piece are a slip of the unit [rad]. No source. */
const MOST_PIECE_TURN = 50;

/** Reads the roads of a file, in the order of the file. @returns null where it has errors; all are reported */
export function readOpenDrive(source: Source, faults: Faults): OpenDriveRoad[] | null {
  const before = faults.errors;
  const reader = new Reader(source, faults);
  const sound = walkXml(source, reader, faults);
  if (sound && faults.errors === before && reader.roads.length === 0) {
    faults.error(
      'xodr/road',
      source.place(0, 1),
      'the file holds no road',
      'expected <OpenDRIVE> with one <road> or more',
    );
  }
  return faults.errors > before ? null : reader.roads;
}

interface Draft {
  readonly id: string;
  predecessor: RoadLink | null;
  successor: RoadLink | null;
  readonly geometry: Geometry[];
  readonly elevation: Profile[];
  readonly superelevation: Profile[];
  readonly laneMaterials: Material[];
}

type Attributes = Readonly<Record<string, string>>;

class Reader {
  readonly roads: OpenDriveRoad[] = [];
  readonly #source: Source;
  readonly #faults: Faults;
  readonly #path: string[] = [];
  readonly #ids = new Set<string>();
  #road: Draft | null = null;
  #piece: Omit<Geometry, 'shape'> | null = null;
  #shape: Shape | null = null;
  #hasPieces = false;
  #section = 0; //      where the lane section begins [m]
  #driven = false; //   whether the lane is one to drive on

  constructor(source: Source, faults: Faults) {
    this.#source = source;
    this.#faults = faults;
  }

  open(name: string, given: Attributes, at: XmlPlaces): void {
    this.#path.push(name);
    if (this.#path.length === 1 && name !== 'OpenDRIVE')
      this.#fault(
        'xodr/root',
        () => at.attribute(''),
        `the outermost element is <${shown(name)}>, expected <OpenDRIVE>`,
        'is this an OpenDRIVE file?',
      );
    const here = this.#path.join('/');
    if (here === 'OpenDRIVE/road') this.#openRoad(given, at);
    const road = this.#road;
    if (road === null) return;
    const number = (key: string, min = -ANY, max = ANY) => this.#number(name, given, key, min, max, at);
    const cubic = (tail = '') =>
      ['a', 'b', 'c', 'd'].map((key) => number(key + tail)) as [number, number, number, number];
    switch (here.slice('OpenDRIVE/road/'.length)) {
      case 'link/predecessor':
      case 'link/successor':
        road[name as 'predecessor' | 'successor'] = linkOf(given);
        break;
      case 'planView/geometry':
        this.#openPiece(road, number, at);
        break;
      case 'planView/geometry/line':
        this.#shape = { kind: 'spiral', start: 0, end: 0 };
        break;
      case 'planView/geometry/arc': {
        const k = number('curvature', -TIGHTEST, TIGHTEST);
        this.#shape = { kind: 'spiral', start: k, end: k };
        break;
      }
      case 'planView/geometry/spiral': {
        const [start, end] = [
          number('curvStart', -TIGHTEST, TIGHTEST),
          number('curvEnd', -TIGHTEST, TIGHTEST),
        ];
        this.#shape = { kind: 'spiral', start, end };
        break;
      }
      case 'planView/geometry/poly3':
        this.#shape = { kind: 'poly3', v: cubic() };
        break;
      case 'planView/geometry/paramPoly3': {
        const end = given['pRange'] === 'arcLength' ? (this.#piece?.length ?? 1) : 1;
        this.#shape = { kind: 'paramPoly3', u: cubic('U'), v: cubic('V'), end };
        break;
      }
      case 'elevationProfile/elevation':
        this.#profile(road.elevation, { s: number('s', 0, LONGEST), abcd: cubic() }, at);
        break;
      case 'lateralProfile/superelevation':
        this.#profile(road.superelevation, { s: number('s', 0, LONGEST), abcd: cubic() }, at);
        break;
      case 'lanes/laneSection':
        this.#section = number('s', 0, LONGEST);
        break;
      case 'lanes/laneSection/left/lane':
      case 'lanes/laneSection/right/lane':
        this.#driven = DRIVEN.has(given['type'] ?? '');
        break;
      case 'lanes/laneSection/left/lane/material':
      case 'lanes/laneSection/right/lane/material':
        if (this.#driven) this.#material(road, given, number);
        break;
    }
  }

  close(name: string, _text: string, at: XmlPlaces): void {
    const here = this.#path.join('/');
    this.#path.pop();
    if (name === 'geometry' && here === 'OpenDRIVE/road/planView/geometry') this.#closePiece(at);
    if (here === 'OpenDRIVE/road') this.#closeRoad(at);
  }

  #openRoad(given: Attributes, at: XmlPlaces): void {
    const id = given['id']?.trim() ?? '';
    if (id === '' || this.#ids.has(id))
      this.#fault(
        'xodr/id',
        () => at.attribute('id'),
        id === '' ? 'the road has no id' : `there are two roads with the id ${shown(id)}`,
        'every road has an id of its own, such as id="12"',
      );
    this.#ids.add(id);
    this.#hasPieces = false;
    this.#road = {
      id,
      predecessor: null,
      successor: null,
      geometry: [],
      elevation: [],
      superelevation: [],
      laneMaterials: [],
    };
  }

  #closeRoad(at: XmlPlaces): void {
    const road = this.#road!;
    this.#road = null;
    if (!this.#hasPieces)
      this.#fault(
        'xodr/geometry',
        () => at.tag(),
        `the road ${shown(road.id)} has no geometry`,
        'a road has a <planView> with one <geometry> or more',
      );
    const { laneMaterials, ...rest } = road;
    this.roads.push({ ...rest, materials: leastFriction(laneMaterials) });
  }

  #openPiece(road: Draft, number: (key: string, min?: number, max?: number) => number, at: XmlPlaces): void {
    const piece = {
      s: number('s', 0, LONGEST),
      x: number('x'),
      y: number('y'),
      heading: number('hdg'),
      length: number('length', SHORTEST, LONGEST),
    };
    this.#piece = piece;
    this.#shape = null;
    this.#hasPieces = true;
    const last = road.geometry.at(-1);
    if (last === undefined) return;
    if (!(piece.s > last.s)) {
      if (piece.s <= last.s)
        this.#fault(
          'xodr/order',
          () => at.attribute('s'),
          `s is ${piece.s} m, but the piece before begins at ${last.s} m`,
          'the pieces of a road stand in the order of s',
        );
      return;
    }
    const end = endOf(last);
    const gap = Math.hypot(piece.x - end.x, piece.y - end.y);
    const turn = Math.abs(
      Math.atan2(Math.sin(piece.heading - end.heading), Math.cos(piece.heading - end.heading)),
    );
    if (!(gap > MOST_GAP || turn > MOST_TURN)) return;
    this.#fault(
      'xodr/gap',
      () => at.tag(),
      `the piece does not go on from the one before: ${gap.toFixed(2)} m off, turned by ${((turn * 180) / Math.PI).toFixed(1)} deg`,
      `the one before ends at x ${end.x.toFixed(3)} m, y ${end.y.toFixed(3)} m, heading ${end.heading.toFixed(5)} rad`,
    );
  }

  #closePiece(at: XmlPlaces): void {
    const [road, piece, shape] = [this.#road, this.#piece, this.#shape];
    this.#piece = null;
    if (road === null || piece === null) return;
    if (shape === null) {
      this.#fault(
        'xodr/geometry',
        () => at.tag(),
        `a piece of the road ${shown(road.id)}, at s ${piece.s} m, has no shape`,
        'expected <line/>, <arc/>, <spiral/>, <poly3/> or <paramPoly3/> in the <geometry>',
      );
      return;
    }
    const turn =
      shape.kind === 'spiral' ? Math.max(Math.abs(shape.start), Math.abs(shape.end)) * piece.length : 0;
    if (turn > MOST_PIECE_TURN) {
      this.#fault(
        'xodr/turn',
        () => at.tag(),
        `a piece of ${piece.length} m turns round ${(turn / (2 * Math.PI)).toFixed(0)} times`,
        'curvatures are in 1/m: a left-hand bend of 50 m has 0.02',
      );
      return;
    }
    road.geometry.push({ ...piece, shape });
  }

  #profile(list: Profile[], profile: Profile, at: XmlPlaces): void {
    const last = list.at(-1);
    if (last !== undefined && profile.s <= last.s) {
      if (profile.s < last.s)
        this.#fault(
          'xodr/order',
          () => at.attribute('s'),
          `s is ${profile.s} m, but the one before begins at ${last.s} m`,
          'profiles stand in the order of s',
        );
      list.pop(); // of two that begin at one place the later counts
    }
    list.push(profile);
  }

  #material(
    road: Draft,
    given: Attributes,
    number: (key: string, min?: number, max?: number) => number,
  ): void {
    road.laneMaterials.push({
      s: this.#section + number('sOffset', 0, LONGEST),
      friction: given['friction'] === undefined ? 1 : number('friction', 0.01, 3),
      surface: given['surface']?.trim() || null,
    });
  }

  #number(tag: string, given: Attributes, key: string, min: number, max: number, at: XmlPlaces): number {
    const text = given[key]?.trim();
    const value = text !== undefined && NUMBER.test(text) ? Number(text) : Number.NaN;
    if (value >= min && value <= max) return value;
    const range = min === -ANY ? 'a number' : `a number from ${min} to ${max}`;
    this.#fault(
      'xodr/number',
      () => at.attribute(key),
      text === undefined
        ? `<${tag}> has no ${key}, expected ${range}`
        : `${key} is ${text === '' ? 'empty' : shown(text)}, expected ${range}`,
      HELP[key] ?? 'numbers have a decimal point and no unit',
    );
    return Number.NaN;
  }

  #fault(code: string, place: () => Place, message: string, help: string): void {
    const full = this.#faults.full(this.#source.file, code);
    this.#faults.error(code, full ? this.#source.place(0, 1) : place(), message, help);
  }
}

const HELP: Readonly<Record<string, string>> = {
  s: 'metres from the start of the road',
  length: 'metres, more than 0',
  hdg: 'radians, counterclockwise from the x axis',
  curvature: '1/radius, positive to the left: a left-hand bend of 50 m has 0.02',
  curvStart: '1/radius, positive to the left, 0 where straight',
  curvEnd: '1/radius, positive to the left, 0 where straight',
  friction: 'it is taken as a factor on the grip of the tyre, 1 where the lane is as the surface is',
};

function linkOf(given: Attributes): RoadLink {
  const contact = given['contactPoint'];
  return {
    type: given['elementType'] ?? 'road',
    id: given['elementId']?.trim() ?? '',
    contact: contact === 'start' || contact === 'end' ? contact : null,
  };
}

/** One list for the road: at each place the least friction of the lanes that begin a material there. */
function leastFriction(lanes: readonly Material[]): Material[] {
  const materials: Material[] = [];
  for (const lane of lanes.toSorted((a, b) => a.s - b.s)) {
    const last = materials.at(-1);
    if (last === undefined || lane.s > last.s) materials.push(lane);
    else if (lane.friction < last.friction) materials[materials.length - 1] = lane;
  }
  return materials;
}
