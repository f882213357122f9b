// A script for pages whose stage nobody looks at closely.

/** Milliseconds from frame to frame, of some 17: where a test waits for the music, and where it waits for the page. */
export const FRAME_MS = { played: 160, quiet: 80 } as const;

/**
 * Fewer frames a second: what a stage shows between two frames costs most of a played test, and none of these looks at
 * how smoothly it moves (`npm run bench -- --only frame-script` does).
 */
export function fewFrames(every: number): void {
  const { requestAnimationFrame: frame, cancelAnimationFrame: cancel } = window;
  /** By the number that the page was given: what waits for its frame. */
  const waiting = new Map<number, number>();
  window.requestAnimationFrame = (draw) => {
    const id = window.setTimeout(() => {
      const inFrame = (now: number): void => {
        waiting.delete(id);
        draw(now);
      };
      waiting.set(id, frame(inFrame));
    }, every);
    return id;
  };
  window.cancelAnimationFrame = (id) => {
    window.clearTimeout(id);
    cancel(waiting.get(id) ?? 0);
    waiting.delete(id);
  };
}
