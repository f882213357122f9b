// What goes through the shared folder by itself: the player's own computers, reports to a teacher, reports of students.
import type { Services } from '../../../app/services/contract/contract.ts';
import type { OwnMachine, OwnState, Travelled } from '../../../app/services/contract/shared.ts';
import type { Result } from '../../../app/core/base/result.ts';
import { counted } from '../../page/words.ts';
import type { LadderSetup } from '../climb/ladder-setup.svelte.ts';
import type { Library } from '../library/library.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import type { PracticeQueue } from '../stage/queue.svelte.ts';
import type { DeskState } from '../desk/desk.svelte.ts';
import type { SharedFolder } from '../desk/shared.svelte.ts';

interface TravelAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
  readonly shared: SharedFolder;
  readonly desk: DeskState;
  readonly library: Library;
  readonly log: PracticeLog;
  readonly settings: PlayerSettings;
  readonly ladderSetup: LadderSetup;
  readonly queue: PracticeQueue;
}

export class Travel {
  readonly #around: TravelAround;

  constructor(around: TravelAround) {
    this.#around = around;
  }

  /** This computer as one of the player's; undefined where it is alone. */
  get own(): OwnState | undefined {
    return this.#around.shared.now.own;
  }
  /** The list that reports go to by themselves. */
  get reportsTo(): string | undefined {
    return this.#around.shared.now.reportsTo;
  }

  /** Hands on what is new here and takes in what came. */
  meet = async (): Promise<void> => {
    await this.#around.services.call('shared.sync', {});
    await this.#around.shared.load();
  };

  /** Makes this the first of the player's computers. @param machine how it is called */
  begin = (machine: string): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.own', { kind: 'begin', machine }));

  /** What the computers of a code have written; undefined after saying why there is nothing. */
  look = async (code: string): Promise<readonly OwnMachine[] | undefined> => {
    const there = await this.#around.services.call('shared.lookOwn', { code });
    if (there.ok) return there.value;
    this.#around.messages.refuse(there.problems);
    return undefined;
  };

  join = (machine: string, code: string): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.own', { kind: 'join', machine, code }));

  /** Goes on alone. @param empty also takes out what this computer wrote for the others */
  part = (empty: boolean): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.own', { kind: 'leave', empty }));

  /** @param to one of the lists that the player stands in; null: reports go by hand only */
  report = (to: string | null): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.reports', { to }));

  lookFirst = async (on: boolean): Promise<void> => {
    await this.#around.services.call('shared.looksFirst', { on });
    await this.meet();
  };

  /** Gives each student a folder in the shared one, or lets all share one. */
  partStudents = (apart: boolean): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.parted', { apart }));

  /** Shows what came, wherever the player is. */
  arrived = async (news: Travelled): Promise<void> => {
    const { passes, values, both, reports, takenOff, forGood } = news;
    const { desk, library, log, settings, ladderSetup, messages, queue, shared } = this.#around;
    const came = (...kinds: readonly string[]): boolean =>
      values.some((key) => kinds.some((kind) => key.startsWith(`${kind}:`)));
    // By the names that they had on the list: two may bear one.
    const byLabel = ({ student, name }: Travelled['forGood'][number]) => {
      return { student, name: desk.labelOf({ id: student, name }) };
    };
    const gone = takenOff.map(byLabel);
    const goneForGood = forGood.map(byLabel);
    if (came('ladder')) ladderSetup.readAgain();
    if (came('setting')) {
      await settings.load();
      queue.takeOver(settings.now.queue);
    }
    if (came('chart') || reports.length > 0) await library.refresh();
    if (came('desk', 'task', 'comment', 'student', 'gone') || reports.length > 0)
      await desk.readAgain();
    // A teacher's other computer may have taken in reports of anybody.
    if (passes > 0 && desk.students.length > 0) desk.logsChanged();
    else if (reports.length > 0) desk.logsChanged(reports.map(({ student }) => student));
    if (passes > 0) await log.readAgain();
    await shared.load();
    for (const title of both)
      messages.say(`A chart was changed on two computers. The other version is now “${title}”.`);
    for (const { student, name } of gone)
      messages.say(`‘${name}’ was taken off the list on your other computer. The log stays.`, {
        label: 'Bring back',
        run: () => void desk.restore(student),
      });
    for (const { name } of goneForGood)
      messages.say(`‘${name}’ was removed for good on your other computer, so it went here, too.`);
    this.#sayReports(reports);
  };

  /** Each student once, however many reports came; of many students in one remark. */
  #sayReports(reports: Travelled['reports']): void {
    const { desk, messages } = this.#around;
    const students = [...Map.groupBy(reports, ({ student }) => student).values()];
    if (students.length > MOST_NAMED)
      return messages.say(
        `Reports of ${students.length} students came in: ${whatCame(students.flat())}.`,
      );
    for (const those of students) {
      const { student: id, name } = those[0]!;
      messages.say(`${desk.labelOf({ id, name })}’s report came in: ${whatCame(those)}.`);
    }
  }

  async #changed(asked: Promise<Result<null>>): Promise<boolean> {
    const answer = await asked;
    if (!answer.ok) this.#around.messages.refuse(answer.problems);
    await this.meet();
    return answer.ok;
  }
}

/** Students whose reports are told one by one. */
const MOST_NAMED = 3;

function whatCame(reports: Travelled['reports']): string {
  const passes = reports.reduce((sum, { newPasses }) => sum + newPasses, 0);
  const questions = reports.reduce((sum, { newQuestions }) => sum + newQuestions, 0);
  const asked = counted(questions, 'new question');
  if (questions > 0 && passes === 0) return asked;
  const played = counted(passes, 'new pass', 'new passes');
  return questions > 0 ? `${played} and ${asked}` : played;
}
