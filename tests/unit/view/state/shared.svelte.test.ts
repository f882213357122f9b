// Which task sheets in a shared folder are offered to the player: those of a known list, and another teacher's by the name.
import { expect, it } from 'vitest';
import type { WaitingParcel } from '../../../../app/services/contract/shared.ts';
import { SharedFolder } from '../../../../renderer/state/desk/shared.svelte.ts';

const sheet = (student: string, called: string, newTeacher?: true): WaitingParcel => ({
  ...{ id: student, kind: 'sheet', student, written: '2031-04-01T10:00:00Z' },
  ...{ name: `${called} task sheet.rungsheet`, ...(newTeacher && { newTeacher }) },
});

async function offered(waiting: readonly WaitingParcel[], ...known: readonly string[]) {
  const knownTo = known.map((name, i) => ({ id: `list-${i}`, name, teacher: 'Ms Tern' }));
  const shared = new SharedFolder({
    services: { call: () => Promise.resolve({ writers: [], waiting, written: [] }) },
    desk: { own: { knownTo } },
  } as unknown as ConstructorParameters<typeof SharedFolder>[0]);
  await shared.load();
  return shared.sheets.map(({ student }) => student);
}

it('offers all while no list is known, then those of the lists that are', async () => {
  const waiting = [sheet('list-0', 'Ada'), sheet('ben', 'Ben')];
  expect(await offered(waiting)).toEqual(['list-0', 'ben']);
  expect(await offered(waiting, 'Ada')).toEqual(['list-0']);
});

it('offers a sheet of another teacher to who is called so, and nobody else’s', async () => {
  const waiting = [
    ...[
      sheet('a', 'Ada', true),
      sheet('b', 'Ada 2', true),
      sheet('c', 'Ada'),
      sheet('d', 'Adam', true),
    ],
    ...[sheet('e', 'Agent 7', true), sheet('f', 'Jo\u0308rg'.normalize('NFC'), true)],
  ];
  expect(await offered(waiting, 'Ada')).toEqual(['a', 'b']);
  expect(await offered(waiting, 'Agent 7')).toEqual(['e']);
  expect(await offered(waiting, 'Jo\u0308rg')).toEqual(['f']);
});
