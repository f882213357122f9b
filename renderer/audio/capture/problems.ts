// Why a microphone could not be opened or went away, each as one sentence with its cure.
import type { Problem } from '../../../app/core/base/result.ts';

const CLIMB_GOES_ON = 'The climb goes on: judge the passes yourself.';

/** From the name of the error that `getUserMedia` rejects with (W3C Media Capture and Streams). */
export function openingProblem(errorName: string, label: string): Problem {
  switch (errorName) {
    case 'NotAllowedError':
    case 'SecurityError':
      return {
        code: 'microphone-refused',
        message: 'The microphone may not be used.',
        cure: 'Allow it for this program in the system’s or the browser’s settings, or judge yourself.',
      };
    case 'NotFoundError':
      return {
        code: 'no-microphone',
        message: 'No microphone was found.',
        cure: 'Connect one, then try again; until then judge yourself.',
      };
    case 'OverconstrainedError':
      return goneProblem(label);
    default:
      return {
        code: 'microphone-busy',
        message: 'The microphone could not be opened.',
        cure: 'Close other programs that use it, or choose another microphone in the Ear room.',
      };
  }
}

/** @param label of the microphone */
export const goneProblem = (label: string): Problem => ({
  code: 'microphone-gone',
  message: `The microphone ‘${label}’ is not connected.`,
  cure: 'Connect it, or choose another one in the Ear room.',
});

/** @param label of the microphone */
export const lostProblem = (label: string): Problem => ({
  code: 'microphone-lost',
  message: `The microphone ‘${label}’ went away.`,
  cure: CLIMB_GOES_ON,
});

/** @param label of the microphone */
export const mutedProblem = (label: string): Problem => ({
  code: 'microphone-muted',
  message: `The microphone ‘${label}’ is switched off: it gives no sound.`,
  cure: 'Switch it on again; until then judge the passes yourself.',
});

export const outputChanged: Problem = {
  code: 'microphone-let-go',
  message: 'The sound output was opened anew, so the microphone was let go.',
  cure: 'Judge the passes yourself, or begin the climb again to have the ear back.',
};

/** The thread that judges what is heard has ended by a fault. */
export const thinkingProblem: Problem = {
  code: 'ear-broke-off',
  message: 'The ear stopped working and hears this climb no more.',
  cure: `Begin the climb again to have it back. ${CLIMB_GOES_ON}`,
};

/** The part that reads the microphone's sound could not be started. */
export const tapProblem: Problem = {
  code: 'microphone-unread',
  message: 'The microphone opened, but its sound cannot be read here.',
  cure: `Start Rungwise again; if it stays, update it or your browser. ${CLIMB_GOES_ON}`,
};
