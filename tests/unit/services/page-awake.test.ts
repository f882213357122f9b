// The page holds one wake lock while it is wanted, and takes it again when the page comes back.
import { expect, it, vi } from 'vitest';
import { keepPageAwake } from '../../../app/services/client/page-awake.ts';
import { soon } from '../../support/soon.ts';

function fakePage() {
  const release = vi.fn(() => Promise.resolve());
  const request = vi.fn(() => Promise.resolve({ release }));
  const state = { visible: true, changed: (): void => undefined };
  return {
    state,
    release,
    request,
    wakeLock: { request },
    isVisible: () => state.visible,
    onVisibilityChange: (listener: () => void) => void (state.changed = listener),
  };
}

it('is taken once and given back once', async () => {
  const page = fakePage();
  const awake = keepPageAwake(page);
  await awake(true);
  await awake(true);
  expect(page.request).toHaveBeenCalledExactlyOnceWith('screen');
  await awake(false);
  await awake(false);
  expect(page.release).toHaveBeenCalledOnce();
});

it('is taken again when a hidden page comes back in mid-climb', async () => {
  const page = fakePage();
  await keepPageAwake(page)(true);
  page.state.visible = false;
  page.state.changed();
  page.state.visible = true;
  page.state.changed();
  await soon(() => expect(page.request).toHaveBeenCalledTimes(2));
});

it('refused or missing, it does not stand in the way', async () => {
  const page = fakePage();
  page.request.mockRejectedValueOnce(new Error('low battery'));
  await keepPageAwake(page)(true);
  await keepPageAwake({ ...page, wakeLock: undefined as never })(true);
  expect(page.release).not.toHaveBeenCalled();
});
