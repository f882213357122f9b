// The pen that writes down as SVG what is drawn on a canvas.
import { describe, expect, it } from 'vitest';
import { SvgPen, WrittenPath } from '../../../renderer/screens/history/svg-pen.ts';

const still = { a: 1, b: 0, c: 0, d: 1, e: 0, f: 0 };

/** The state of a canvas, without a canvas. */
const canvas = () => ({
  fillStyle: 'red',
  strokeStyle: 'blue',
  lineWidth: 2,
  globalAlpha: 1,
  font: '12px sans-serif',
  textAlign: 'left' as CanvasTextAlign,
  textBaseline: 'alphabetic' as CanvasTextBaseline,
  dashes: [] as number[],
  transform: still,
  saves: 0,
  save() {
    this.saves++;
  },
  restore() {
    this.saves--;
  },
  getTransform() {
    return this.transform;
  },
  getLineDash() {
    return this.dashes;
  },
  /** Letters of 10 above their line; text set by its top has nothing above that. */
  measureText() {
    return { fontBoundingBoxAscent: this.textBaseline === 'top' ? 0 : 10 };
  },
});

function drawn(draw: (pen: SvgPen['methods'], on: ReturnType<typeof canvas>) => void): string {
  const on = canvas();
  const pen = new SvgPen(on);
  draw(pen.methods, on);
  return pen.content;
}

describe('a path', () => {
  it('is written in steps, rounded to hundredths', () => {
    const path = new WrittenPath();
    path.moveTo(1, 2);
    path.lineTo(3.14159, 4);
    path.rect(0, 0, 5, 6);
    expect(path.data).toBe('M1 2L3.14 4M0 0h5v6h-5Z');
  });

  it('begins where its first line ends, as a canvas has it', () => {
    const path = new WrittenPath();
    path.lineTo(1, 2);
    expect(path.data).toBe('M1 2');
  });

  it('draws a circle as two halves', () => {
    const path = new WrittenPath();
    path.arc(10, 10, 4);
    expect(path.data).toBe('M14 10A4 4 0 1 1 6 10A4 4 0 1 1 14 10');
  });

  it('is copied, not shared', () => {
    const path = new WrittenPath();
    path.moveTo(0, 0);
    new WrittenPath(path).lineTo(1, 1);
    expect(path.data).toBe('M0 0');
  });
});

describe('the pen', () => {
  it('fills and strokes in the colours and dashes of the canvas', () => {
    const svg = drawn((pen, on) => {
      on.dashes = [7, 5];
      pen.beginPath();
      pen.moveTo(0, 0);
      pen.lineTo(10, 0);
      pen.fill();
      pen.stroke();
    });
    expect(svg).toContain('<path d="M0 0L10 0" fill="red"></path>');
    expect(svg).toContain('fill="none" stroke="blue" stroke-width="2" stroke-dasharray="7 5"');
  });

  it('moves what is drawn as the canvas is moved', () => {
    const svg = drawn((pen, on) => {
      on.transform = { ...still, e: 0.5, f: 20 };
      pen.strokeRect(0, 0, 1, 1);
    });
    expect(svg).toContain('transform="matrix(1 0 0 1 0.5 20)"');
  });

  it('clips until the canvas is restored, the state of the canvas with it', () => {
    const on = canvas();
    const pen = new SvgPen(on);
    const { methods } = pen;
    methods.save();
    methods.rect(0, 0, 5, 5);
    methods.clip();
    methods.strokeRect(1, 1, 1, 1);
    expect(on.saves).toBe(1);
    methods.restore();
    methods.strokeRect(2, 2, 1, 1);
    expect(on.saves).toBe(0);
    expect(pen.content).toContain('<clipPath id="clip0"><path d="M0 0h5v5h-5Z">');
    expect(pen.content.match(/clip-path="url\(#clip0\)"/g)).toHaveLength(1);
  });

  it('sets text on its baseline, wherever the canvas measures from, and lets no markup through', () => {
    const svg = drawn((pen, on) => {
      on.textBaseline = 'top';
      on.textAlign = 'center';
      pen.fillText('A < B & C', 30, 40);
      expect(on.textBaseline).toBe('top');
    });
    expect(svg).toContain(
      '<text x="30" y="50" style="font: 12px sans-serif" text-anchor="middle" fill="red">A &lt; B &amp; C</text>',
    );
  });
});
