// The calendar date and the moment on the wall clock here.
import { localDate } from '../../../app/core/log/days.ts';
import type { IsoDate, IsoTime } from '../../../app/core/base/units.ts';
import { isoTimeOf } from '../../../app/core/base/iso-time.ts';

export const isoNow = (): IsoTime => isoTimeOf(new Date());

export const today = (): IsoDate => localDate(isoNow());
