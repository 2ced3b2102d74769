/** A picture of a surveyed road, as SVG: plan, height, curvature, grade, and the recorded points against the road. */
import { escaped } from '../input/render-diagnostic.ts';
import type { RoadTable } from '../track/road-table.ts';
import { BEND_CLASSES, classRange, findBends } from '../track/survey/bends.ts';
import type { FittedPoints, RoadFit } from '../track/survey/fit-road.ts';
import { cells, extremes } from './thin-out.ts';

export interface Preview {
  readonly name: string;
  readonly road: RoadTable; // with xy
  readonly fit: RoadFit;
}

// Okabe & Ito, Color Universal Design (2008): told apart with every kind of colour vision. From the tightest class to
// straight, where the line is also thinner.
const COLOURS = ['#000000', '#d55e00', '#e69f00', '#009e73', '#56b4e9', '#9a9a9a'];
const WIDTHS = [5, 4.5, 4, 3.2, 2.6, 1.8];
const FIT = '#0072b2';
const POINT = '#6b6b6b';
const OUTLIER = '#cc79a7';

const SIDE = 560; //   greatest width and height of a plan beside the profiles [px]
const LEAST = 260; //  least width of it
const ACROSS = 1150; // width of a plan above the profiles
const WIDE = 0.5; //   a road that is this much wider than high is drawn across the picture
const PROFILE_GAP = 27; // between two profiles, their ticks included
const MOST_PLAN = 3000; // places of the road that are drawn
const MOST_POINTS = 3000; // recorded points that are drawn
const BUCKETS = 500; // of a profile: the least and the greatest value in each are drawn

type Row = Readonly<Record<string, number | string>>;

/** Draws the picture; the charting packages are loaded only here. Size and time are bounded whatever the input. */
export async function surveyPreview(preview: Preview): Promise<string> {
  const [{ compile }, vega] = await Promise.all([import('vega-lite'), import('vega')]);
  const { spec } = compile(pictureSpec(preview) as unknown as Parameters<typeof compile>[0]);
  const view = new vega.View(vega.parse(spec), { renderer: 'none', logLevel: vega.Error });
  vega.resetSVGDefIds(); // else a second picture would count on from the first
  const svg = await view.toSVG();
  view.finalize();
  return `${svg}\n`;
}

function pictureSpec({ name, road, fit }: Preview): object {
  const heights = fit.found.heights !== 'none' && road.z !== null;
  const profiles: Profile[] = [
    ...(heights ? [heightProfile(road, fit.points)] : []),
    curvatureProfile(road),
    ...(heights ? [gradeProfile(road)] : []),
    offsetProfile(road, fit.points),
  ];
  const bounds = boundsOf(road);
  const across = bounds.y.half < WIDE * bounds.x.half;
  const high = Math.max(1, bounds.y.half);
  const size = across
    ? { width: ACROSS, height: Math.max(200, ACROSS * (bounds.y.half / bounds.x.half)) }
    : { width: Math.max(LEAST, Math.min(SIDE, SIDE * (bounds.x.half / high))), height: SIDE };
  const drawn = plan(road, fit.points, size, domainOf(bounds, size));
  const pair = Math.ceil(profiles.length / 2);
  const body = across
    ? {
        vconcat: [
          drawn,
          {
            hconcat: [
              column(profiles.slice(0, pair), SIDE, SIDE / 2),
              column(profiles.slice(pair), SIDE, SIDE / 2),
            ],
          },
        ],
      }
    : { hconcat: [drawn, column(profiles, 2 * SIDE - size.width - 40, SIDE)] };
  const thin =
    fit.points.x.length > MOST_POINTS
      ? `, every ${cells(fit.points.x.length, MOST_POINTS).step}th drawn`
      : '';
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    background: 'white',
    padding: 12,
    title: {
      text: escaped(name),
      subtitle: `${(road.s[road.s.length - 1] / 1000).toFixed(2)} km from ${fit.points.x.length} points${thin}; closed roads only`,
      anchor: 'start',
      fontSize: 17,
      subtitleFontSize: 12,
      offset: 12,
    },
    config: {
      aria: false,
      font: 'DejaVu Sans, Verdana, sans-serif',
      axis: {
        labelFontSize: 10,
        titleFontSize: 11,
        titleFontWeight: 'normal',
        gridColor: '#e8e8e8',
        labelOverlap: 'greedy',
      },
      legend: {
        labelFontSize: 11,
        titleFontSize: 11,
        titleFontWeight: 'normal',
        labelLimit: 220,
        titleLimit: 400,
      },
      view: { stroke: '#c8c8c8' },
    },
    spacing: 24,
    resolve: { scale: { color: 'independent', shape: 'independent', strokeWidth: 'independent' } },
    ...body,
  };
}

/** Profiles one below the other, in a space of so many pixels. The lowest carries the distances. */
function column(profiles: readonly Profile[], width: number, space: number): object {
  const height = (space - PROFILE_GAP * (profiles.length - 1)) / profiles.length;
  const vconcat = profiles.map((layer, k) => ({
    width,
    height,
    layer: layer(width),
    encoding: { x: k === profiles.length - 1 ? withDistance : distance },
  }));
  return { spacing: 10, vconcat };
}

/** The road in plan, coloured by the class of its bends, over the recorded points. */
function plan(road: RoadTable, points: FittedPoints, size: Size, domain: Domain): object {
  const { x, y } = road.xy!;
  const straight = BEND_CLASSES.length;
  const classes = Array.from(
    { length: straight + 1 },
    (_, k) => `${BEND_CLASSES[k]?.name ?? 'straight'}, ${classRange(k)}`,
  );
  const classAt = new Uint8Array(x.length).fill(straight);
  for (const bend of findBends(road)) classAt.fill(bend.class, bend.from, bend.to + 1);
  const rows: Row[] = [];
  let run = -1;
  let last = -1;
  for (const i of cells(x.length, MOST_PLAN).indices) {
    const at = { x: x[i], y: y[i] };
    // A run of one class ends where the next begins, so that the line has no gaps.
    if (classAt[i] !== last && run >= 0) rows.push({ ...at, class: classes[last], run });
    if (classAt[i] !== last) run++;
    last = classAt[i];
    rows.push({ ...at, class: classes[last], run });
  }
  const legend = {
    title: 'Bends by radius',
    orient: 'bottom',
    columns: Math.floor(size.width / 180),
    symbolType: 'stroke',
  };
  const middle = (domain.x[0] + domain.x[1]) / 2;
  const axis = (field: 'x' | 'y', title: string) => ({
    field,
    type: 'quantitative',
    title,
    scale: { domain: domain[field], nice: false, zero: false },
    axis: { tickCount: 6, format: '~d' },
  });
  const place = { x: axis('x', 'East [m]'), y: axis('y', 'North [m]') };
  return {
    ...size,
    layer: [
      {
        data: { values: rawPoints(points) },
        mark: { type: 'point', filled: true, size: 9, opacity: 0.55, clip: true, color: POINT },
        encoding: place,
      },
      {
        data: { values: rows },
        mark: { type: 'line', strokeCap: 'round', strokeJoin: 'round', clip: true },
        encoding: {
          ...place,
          order: { value: null },
          detail: { field: 'run' },
          color: {
            field: 'class',
            type: 'nominal',
            sort: classes,
            scale: { domain: classes, range: COLOURS },
            legend,
          },
          strokeWidth: {
            field: 'class',
            type: 'ordinal',
            sort: classes,
            scale: { domain: classes, range: WIDTHS },
            legend,
          },
        },
      },
      {
        data: { values: kilometres(road) },
        layer: [
          {
            mark: {
              type: 'point',
              filled: true,
              size: 34,
              color: 'white',
              stroke: 'black',
              opacity: 1,
              clip: true,
            },
          },
          label('left', 7, `datum.x < ${middle}`),
          label('right', -7, `datum.x >= ${middle}`),
        ],
        encoding: place,
      },
    ],
  };
}

/** Names of places, on the side of them where there is room. */
const label = (align: 'left' | 'right', dx: number, filter: string) => ({
  transform: [{ filter }],
  mark: { type: 'text', align, dx, dy: -7, fontSize: 11, fontWeight: 'bold' },
  encoding: { text: { field: 'label' } },
});

/** Start, finish, and whole kilometres between them (or every second, fifth, … where there are many). */
function kilometres({ s, xy }: RoadTable): Row[] {
  const end = s[s.length - 1];
  const every = [1000, 2000, 5000, 10_000, 20_000, 50_000, 100_000].find((d) => end / d <= 12) ?? end;
  const marks: Row[] = [{ x: xy!.x[0], y: xy!.y[0], label: 'start' }];
  let i = 0;
  for (let at = every; at < end - every / 4; at += every) {
    while (s[i] < at) i++;
    marks.push({ x: xy!.x[i], y: xy!.y[i], label: String(at / 1000) });
  }
  const last = s.length - 1;
  return [...marks, { x: xy!.x[last], y: xy!.y[last], label: 'finish' }];
}

interface Size {
  readonly width: number; // [px]
  readonly height: number;
}
interface Domain {
  readonly x: readonly [number, number]; // [m]
  readonly y: readonly [number, number];
}
interface Bounds {
  readonly x: { readonly middle: number; readonly half: number }; // [m]
  readonly y: { readonly middle: number; readonly half: number };
}

function boundsOf({ xy }: RoadTable): Bounds {
  const of = (values: Float64Array) => {
    let [least, most] = [Infinity, -Infinity];
    for (const v of values) {
      if (v < least) least = v;
      if (v > most) most = v;
    }
    return { middle: (least + most) / 2, half: (most - least) / 2 };
  };
  return { x: of(xy!.x), y: of(xy!.y) };
}

/** What a plan of this size shows: all of the road, with the same scale both ways. */
function domainOf({ x, y }: Bounds, { width, height }: Size): Domain {
  const scale = 1.12 * Math.max(x.half / width, y.half / height, 1 / SIDE);
  return {
    x: [x.middle - scale * width, x.middle + scale * width],
    y: [y.middle - scale * height, y.middle + scale * height],
  };
}

function rawPoints({ x, y }: FittedPoints): Row[] {
  return cells(x.length, MOST_POINTS).indices.map((i) => ({ x: x[i], y: y[i] }));
}

const distance = {
  field: 's',
  type: 'quantitative',
  scale: { nice: false, zero: false },
  axis: { title: null, labels: false },
};

const quantity = (title: string, more: object = {}) => ({
  field: 'v',
  type: 'quantitative',
  title,
  scale: { zero: false, nice: true },
  axis: { tickCount: 5, minExtent: 40 },
  ...more,
});

/** The lowest profile carries the distances. */
const withDistance = { ...distance, axis: { title: 'Distance [km]', labels: true } };

/** Layers over distance, drawn one over the other. */
type Profile = (width: number) => readonly object[];

const values = ({ s }: RoadTable, column: Float64Array, scale = 1): Row[] =>
  extremes(column, BUCKETS).map((i) => ({ s: s[i] / 1000, v: column[i] * scale }));

const line = { type: 'line', color: FIT, strokeWidth: 1.4, strokeJoin: 'round' };

function heightProfile(road: RoadTable, points: FittedPoints): Profile {
  const raw: Row[] = [];
  for (const i of cells(points.z.length, MOST_POINTS).indices) {
    if (points.used[i] === 1 && !Number.isNaN(points.z[i] + points.station[i]))
      raw.push({ s: points.station[i] / 1000, v: points.z[i] });
  }
  return () => [
    {
      data: { values: raw },
      mark: { type: 'point', filled: true, size: 7, opacity: 0.45, color: POINT },
      encoding: { y: quantity('Height [m]') },
    },
    { data: { values: values(road, road.z!) }, mark: line, encoding: { y: quantity('Height [m]') } },
  ];
}

function curvatureProfile(road: RoadTable): Profile {
  const y = quantity('Curvature [1/m]');
  return (width) => [
    {
      data: { values: [{ v: 0 }] },
      mark: { type: 'rule', color: '#888888', strokeWidth: 0.8 },
      encoding: { x: { value: 0 }, x2: { value: width }, y: { field: 'v', type: 'quantitative' } },
    },
    { data: { values: values(road, road.curvature) }, mark: line, encoding: { y } },
  ];
}

function gradeProfile(road: RoadTable): Profile {
  return (width) => [
    {
      data: { values: [{ v: 0 }] },
      mark: { type: 'rule', color: '#888888', strokeWidth: 0.8 },
      encoding: { x: { value: 0 }, x2: { value: width }, y: { field: 'v', type: 'quantitative' } },
    },
    { data: { values: values(road, road.grade, 100) }, mark: line, encoding: { y: quantity('Grade [%]') } },
  ];
}

/** How far each recorded point lies to the left of the road; those that were left out stand apart by form and colour. */
function offsetProfile(road: RoadTable, points: FittedPoints): Profile {
  const offset = offsets(road, points);
  let most = 0.5;
  for (let i = 0; i < offset.length; i++)
    if (points.used[i] === 1 && Math.abs(offset[i]) > most) most = Math.abs(offset[i]);
  const rows: Row[] = [];
  for (const i of cells(offset.length, MOST_POINTS).indices) {
    if (Math.abs(offset[i]) <= 1.1 * most)
      rows.push({
        s: points.station[i] / 1000,
        v: offset[i],
        used: points.used[i] === 1 ? 'used' : 'left out',
      });
  }
  const domain = ['used', 'left out'];
  const legend = { title: 'Recorded points, to the left of the road', orient: 'bottom' };
  return () => [
    {
      data: { values: rows },
      mark: { type: 'point', size: 12, opacity: 0.6, strokeWidth: 1 },
      encoding: {
        y: quantity('Points off [m]', { scale: { domain: [-1.1 * most, 1.1 * most] } }),
        color: {
          field: 'used',
          type: 'nominal',
          scale: { domain, range: [FIT, OUTLIER] },
          legend,
        },
        shape: { field: 'used', type: 'nominal', scale: { domain, range: ['circle', 'cross'] }, legend },
      },
    },
  ];
}

/** Offset of each point to the left of the road at its station [m]; NaN for a point without one. */
function offsets({ s, xy }: RoadTable, points: FittedPoints): Float64Array {
  const { x, y } = xy!;
  return points.station.map((at, i) => {
    if (!(at >= 0)) return Number.NaN;
    let [low, high] = [0, s.length - 1];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (s[middle] <= at) low = middle;
      else high = middle;
    }
    const [dx, dy] = [x[high] - x[low], y[high] - y[low]];
    return (dx * (points.y[i] - y[low]) - dy * (points.x[i] - x[low])) / Math.hypot(dx, dy);
  });
}
