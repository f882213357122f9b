// A script for pages whose stage nobody looks at closely.

/**
 * Six frames a second instead of sixty: what a stage shows between two frames costs most of a played test, and none
 * of these looks at how smoothly it moves (`npm run bench -- --only frame-script` does).
 */
export function fewFrames(): void {
  const { requestAnimationFrame: frame, cancelAnimationFrame: cancel } = window;
  const FRAME_MS = 160;
  /** By the number that the page was given: what waits for its frame. */
  const waiting = new Map<number, number>();
  window.requestAnimationFrame = (draw) => {
    const id = window.setTimeout(() => {
      const inFrame = (now: number): void => {
        waiting.delete(id);
        draw(now);
      };
      waiting.set(id, frame(inFrame));
    }, FRAME_MS);
    return id;
  };
  window.cancelAnimationFrame = (id) => {
    window.clearTimeout(id);
    cancel(waiting.get(id) ?? 0);
    waiting.delete(id);
  };
}
