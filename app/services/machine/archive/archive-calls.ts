// Answers the calls about archives and copies.
import type { Result } from '../../../core/base/result.ts';
import type { Emit, HandlersOf } from '../../contract/handlers.ts';
import { Archives } from './archives.ts';
import { bringDay, bringFile, copiesOf, missingHere } from './copies.ts';
import type { Keeping } from './keeping.ts';

/** @param brought called when something was brought in */
export function archiveHandlers(
  keeping: Keeping,
  emit: Emit,
  brought: () => unknown,
): HandlersOf<'archives' | 'copies'> {
  const archives = new Archives(keeping);
  const then = <T>(result: T): T => {
    brought();
    return result;
  };
  const told = <T>(result: Result<T>): Result<T> => {
    emit('charts', {});
    return result;
  };
  return {
    'archives.save': archives.save,
    'archives.part': ({ from }) => archives.part(from),
    'archives.give': (part) => archives.give(part),
    'archives.look': () => archives.look(),
    'archives.bringIn': async (choice) => then(told(await archives.bringIn(choice))),
    'archives.putAway': () => archives.putAway(),
    'archives.last': () => archives.last(),
    'archives.undo': () => told(archives.undo()),
    'copies.ofChart': ({ id }) => copiesOf(id, keeping),
    'copies.text': ({ id, at }) => keeping.charts.versionText(id, at),
    'copies.bringChart': ({ id, at }) => told(keeping.charts.bringBack(id, at)),
    'copies.missing': () => missingHere(keeping),
    'copies.bringFile': ({ name }) => bringFile(name, keeping),
    'copies.bringDay': async (asked) => then(await bringDay(asked, keeping)),
  };
}
