// Computers that share a place, and what they send: each has a data folder of its own, and none waits long before it tries again.
import fs from 'node:fs';
import path from 'node:path';
import type { Parcel } from '../../../app/core/exchange/shared/parcel.ts';
import { SharedPlace } from '../../../app/services/machine/courier/shared-place.ts';
import { standingClock } from '../../unit/services/samples.ts';

type PlaceOptions = ConstructorParameters<typeof SharedPlace>[0];

export const parcel = (text: string, student = 'ada', kind: Parcel['kind'] = 'sheet'): Parcel => ({
  kind,
  student,
  name: `${student} task sheet.rungsheet`,
  text,
});

/** @param root of all data folders, as it is when a computer is opened. */
export function sharingComputers(root: () => string, change: Partial<PlaceOptions> = {}) {
  let open: SharedPlace[] = [];
  let ids = 0;
  return {
    computer: (name: string, own: Partial<PlaceOptions> = {}): SharedPlace => {
      const directory = path.join(root(), name);
      fs.mkdirSync(directory, { recursive: true });
      const place = new SharedPlace({
        ...{ directory, now: standingClock(), newId: () => `${name}-${++ids}` },
        ...{ told: () => undefined, pauses: [1, 1], ...change, ...own },
      });
      open.push(place);
      return place;
    },
    closeAll: (): void => {
      open.forEach((place) => place.close());
      open = [];
    },
  };
}
