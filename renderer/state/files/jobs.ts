// Work on files that is done beside the page: what is asked, and what comes back.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { BandKit } from '../../../app/core/band/model.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { OpenedScore } from '../../../app/core/exchange/musicxml/read/read.ts';
import type { TrackOptions } from '../../../app/core/exchange/practice-track.ts';
import type { TrackLevels } from '../../../app/core/exchange/wave/write.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { SampleRate, Share } from '../../../app/core/base/units.ts';

export type FileJob =
  | {
      readonly kind: 'wav';
      readonly unit: Unit;
      readonly options: TrackOptions;
      readonly levels: TrackLevels;
      readonly sampleRate: SampleRate;
      /** The band's sounds at this rate, where a band plays: a thread has no Web Audio to make them. */
      readonly kit?: BandKit;
    }
  | {
      readonly kind: 'midi';
      readonly unit: Unit;
      readonly options: TrackOptions;
      readonly title: string;
    }
  | { readonly kind: 'score'; readonly chart: Chart }
  | { readonly kind: 'mxl'; readonly chart: Chart }
  | { readonly kind: 'read-score'; readonly bytes: Uint8Array };

/** What a job comes to. The bytes of a file travel before it, as pieces. */
export interface JobAnswers {
  readonly wav: null;
  readonly midi: null;
  readonly score: string;
  readonly mxl: null;
  readonly 'read-score': OpenedScore;
}

export type FromWorker =
  | {
      readonly kind: 'piece';
      readonly bytes: Uint8Array<ArrayBuffer>;
      readonly done: Share;
    }
  | { readonly kind: 'answer'; readonly result: Result<JobAnswers[FileJob['kind']]> };
