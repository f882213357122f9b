// The calendar date and the moment on the wall clock here.
import { localDate } from '../../app/core/progress/calendar.ts';
import type { IsoDate, IsoTime } from '../../app/core/units.ts';
import { isoWithOffset } from './climb-surroundings.ts';

export const isoNow = (): IsoTime => isoWithOffset(new Date());

export const today = (): IsoDate => localDate(isoNow());
