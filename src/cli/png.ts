import { createRequire } from 'node:module';
import { Resvg } from '@resvg/resvg-js';

const require = createRequire(import.meta.url);

/** A picture in SVG as PNG, at twice its size in pixels. Its letters are DejaVu Sans, the same on every machine. */
export function png(svg: string): Uint8Array {
  const font = (name: string) => require.resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`);
  const picture = new Resvg(svg, {
    fitTo: { mode: 'zoom', value: 2 },
    background: 'white',
    font: {
      loadSystemFonts: false,
      fontFiles: [font('DejaVuSans'), font('DejaVuSans-Bold')],
      defaultFontFamily: 'DejaVu Sans',
      sansSerifFamily: 'DejaVu Sans',
    },
  });
  return picture.render().asPng();
}
