import { parse, View } from 'vega';
import { compile, type TopLevelSpec } from 'vega-lite';
import type { Forecast } from './zero-to-sixty.ts';

/** Forecast over measured time of every car, as SVG: the same bytes for the same cars. */
export async function scatterChart(cars: readonly Forecast[]): Promise<string> {
  const values = cars.map(({ measured, forecast, cylinders }) => ({
    measured,
    forecast: Number(forecast.toFixed(2)),
    cylinders: cylinders % 2 === 0 ? String(cylinders) : '3 or 5',
  }));
  const seconds = (title: string) => ({ title, scale: { domain: [6, 32], nice: false, zero: false } });
  const spec: TopLevelSpec = {
    width: 420,
    height: 420,
    background: 'white',
    config: { aria: false },
    title: '0 to 60 mph of 400 cars, from weight and power alone',
    layer: [
      {
        data: { values: [{ t: 6 }, { t: 32 }] },
        mark: { type: 'line', color: '#888', strokeDash: [4, 3] },
        encoding: { x: { field: 't', type: 'quantitative' }, y: { field: 't', type: 'quantitative' } },
      },
      {
        data: { values },
        mark: { type: 'point', filled: true, size: 22, opacity: 0.6 },
        encoding: {
          x: { field: 'measured', type: 'quantitative', ...seconds('Measured time [s]') },
          y: { field: 'forecast', type: 'quantitative', ...seconds('Forecast time [s]') },
          color: {
            field: 'cylinders',
            type: 'nominal',
            title: 'Cylinders',
            sort: ['4', '6', '8', '3 or 5'],
            scale: { range: ['#3b7dd8', '#e08a1e', '#b03a48', '#2d8f5a'] },
          },
        },
      },
    ],
  };
  const view = new View(parse(compile(spec).spec), { renderer: 'none' });
  const svg = await view.toSVG();
  view.finalize();
  return `${svg}\n`;
}
