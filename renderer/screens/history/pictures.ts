// Makes files of what is drawn: a PNG of a canvas, an SVG of a vector drawing.
import { fileName, saveFile } from '../../parts/save-file.ts';

/** The canvas on the sheet's own colour, with its title above. */
export function savePng(
  canvas: HTMLCanvasElement,
  title: string,
  paper: string,
  ink: string,
): void {
  const head = 34 * devicePixelRatio;
  const picture = document.createElement('canvas');
  picture.width = canvas.width;
  picture.height = canvas.height + head;
  const ctx = picture.getContext('2d');
  if (!ctx) return;
  ctx.fillStyle = paper;
  ctx.fillRect(0, 0, picture.width, picture.height);
  ctx.fillStyle = ink;
  ctx.font = `600 ${16 * devicePixelRatio}px system-ui, sans-serif`;
  ctx.fillText(title, 12 * devicePixelRatio, 22 * devicePixelRatio);
  ctx.drawImage(canvas, 0, head);
  picture.toBlob((blob) => blob && saveFile(fileName(title, '.png'), blob, 'image/png'));
}

/** Style that a drawing takes from the page, written into the copy so that it stands alone. */
const CARRIED = ['fill', 'stroke', 'stroke-width', 'stroke-dasharray', 'font-size', 'font-family'];

export function saveSvg(svg: SVGSVGElement, title: string): void {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  const originals = [svg, ...svg.querySelectorAll('*')];
  const copies = [copy, ...copy.querySelectorAll('*')];
  originals.forEach((original, i) => {
    const style = getComputedStyle(original);
    for (const name of CARRIED) copies[i]!.setAttribute(name, style.getPropertyValue(name));
    copies[i]!.removeAttribute('class');
  });
  const text = new XMLSerializer().serializeToString(copy);
  saveFile(fileName(title, '.svg'), text, 'image/svg+xml');
}
