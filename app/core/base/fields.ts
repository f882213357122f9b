// Small checks that many stored forms share: texts, times and counts with their bounds.
import { z } from 'zod';

/** Longest identifier, name or key that is stored; longer ones are a mistake or an attack. */
export const MAX_FIELD = 400;

export const shortText = z.string().min(1).max(MAX_FIELD);
/** ISO 8601 with offset: what a record's `at` must be. */
export const isoTime = z.iso.datetime({ offset: true });
export const isoDate = z.iso.date();
export const count = z.int().min(0).max(1_000_000);
/** How many bars, or which bar, from 1. */
export const barCount = z.int().min(1).max(100_000);
/** A place in the unrolled form, from 0. */
export const formEntry = z.int().min(0).max(100_000);
