/** Values moved over a grid as a picture: a curve for one value, a map of losses for two. */
import { escaped } from '../input/render-diagnostic.ts';
import type { Study } from '../study/study.ts';
import { numberOf, type Varied } from '../study/vary.ts';

/** Draws the picture as SVG; the charting packages are loaded only here. */
export async function varyChart(study: Study, varied: Varied): Promise<string> {
  const [{ compile }, vega] = await Promise.all([import('vega-lite'), import('vega')]);
  const { spec } = compile(varySpec(study, varied) as unknown as Parameters<typeof compile>[0]);
  const view = new vega.View(vega.parse(spec), { renderer: 'none', logLevel: vega.Error });
  const svg = await view.toSVG();
  view.finalize();
  return `${svg}\n`;
}

/** The picture as a vega-lite specification. @throws RangeError for more than two axes */
export function varySpec(study: Study, { axes, points, best }: Varied): object {
  if (axes.length > 2) throw new RangeError(`one or two values can be drawn, got ${axes.length}`);
  const title = axes.map(({ path, values }) => {
    const { unit } = numberOf(values[0]);
    return `${escaped(path)}${unit === '' ? '' : ` [${unit}]`}`;
  });
  const rows = points
    .filter(({ time }) => Number.isFinite(time))
    .map(({ values, time }) => ({
      x: numberOf(values[axes.length - 1]).x,
      y: numberOf(values[0]).x,
      loss: time - best.time,
      best: time === best.time,
    }));
  const head = {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    background: 'white',
    padding: 12,
    title: {
      text: escaped(study.event.name),
      subtitle: `seconds behind the best, expected over the stages; closed roads only`,
      anchor: 'start',
      fontSize: 16,
      subtitleFontSize: 12,
    },
    config: { font: 'sans-serif', axis: { labelFontSize: 12, titleFontSize: 13 } },
    data: { values: rows },
  };
  if (axes.length === 1) {
    const x = { field: 'x', type: 'quantitative', title: title[0], scale: { zero: false } };
    const y = { field: 'loss', type: 'quantitative', title: 'behind the best [s]' };
    return {
      ...head,
      width: 520,
      height: 300,
      layer: [
        { mark: { type: 'line', color: '#0072b2', strokeWidth: 2 }, encoding: { x, y } },
        { mark: { type: 'point', filled: true, color: '#0072b2', size: 30 }, encoding: { x, y } },
        {
          transform: [{ filter: 'datum.best' }],
          mark: { type: 'point', shape: 'diamond', color: '#d55e00', size: 160, strokeWidth: 2.5 },
          encoding: { x, y },
        },
      ],
    };
  }
  const x = { field: 'x', type: 'ordinal', title: title[1], axis: { labelAngle: 0 } };
  const y = { field: 'y', type: 'ordinal', title: title[0], sort: 'descending' };
  return {
    ...head,
    width: { step: 48 },
    height: { step: 30 },
    layer: [
      {
        mark: 'rect',
        encoding: {
          x,
          y,
          color: {
            field: 'loss',
            type: 'quantitative',
            title: 'behind [s]',
            scale: { scheme: 'cividis', reverse: true },
          },
        },
      },
      {
        mark: { type: 'text', fontSize: 11 },
        encoding: {
          x,
          y,
          text: { field: 'loss', type: 'quantitative', format: '.2f' },
          color: {
            condition: {
              test: `datum.loss > ${0.55 * Math.max(...rows.map(({ loss }) => loss))}`,
              value: 'white',
            },
            value: 'black',
          },
        },
      },
      {
        transform: [{ filter: 'datum.best' }],
        mark: { type: 'rect', fillOpacity: 0, stroke: '#d55e00', strokeWidth: 3 },
        encoding: { x, y },
      },
    ],
  };
}
