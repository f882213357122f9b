// Messages to the machine: any name, any input near a good one. A new call does not compile until it stands here.
import type { CallInput, CallName } from '../../../app/services/contract/contract.ts';
import { sampleLadder } from '../../unit/services/samples.ts';
import { frozen, hostileText, hostileValue, pick, type Roll } from './inputs.ts';
import { chart, entry, parcel, recordingAbout, SMALL_CHART, student } from './samples.ts';

/** What such a call would do is nothing for a test that runs by itself; its input has a door of its own. */
type Left = { readonly leftOut: string };

type Good = { readonly [N in CallName]: readonly CallInput<N>[] | Left };

const GOOD: Good = {
  'charts.list': [{}],
  'charts.save': [{ chart }],
  'charts.open': [{ id: 'k-1' }],
  'charts.text': [{ id: 'k-1' }],
  'charts.import': [{ text: SMALL_CHART }],
  'charts.remove': [{ id: 'k-1' }],
  'charts.restore': [{ id: 'k-1' }],
  'ladders.list': [{}],
  'ladders.save': [sampleLadder('k-1', 'form')],
  'log.append': [{ entries: [entry], desk: 'self' }],
  'log.passes': [{ desk: 'self', chart: 'k-1', unit: 'form', latest: 3 }],
  'log.course': [
    { desk: 'self', chart: 'k-1', bars: 'f-verse', since: '2031-04-05', leadIn: true },
  ],
  'log.sittings': [{ desk: 'self', chart: 'k-1', unit: 'form', judge: 'ear', days: 3 }],
  'log.changes': [{ desk: 'self', chart: 'k-1', unit: 'form', latest: 3 }],
  'log.standings': [
    {
      of: [
        {
          ...{ chart: 'k-1', bars: 'f-verse', beat: 'quarter', target: 90 },
          ...{ asOf: '2031-04-05', due: '2031-05-01' },
        },
      ],
    },
  ],
  'log.worst': [{ of: [{ chart: 'k-1', bars: 'f-verse' }], latest: 60 }],
  'log.counts': [{ chart: 'k-1', since: '2031-04-05' }],
  'log.bests': [{ chart: 'k-1', bars: 'f-verse' }],
  'log.lastTime': [{ desk: 'st-1' }],
  'log.units': [{ desk: 'self', since: '2031-04-05' }],
  'log.days': [{ judge: 'ear' }],
  'log.places': [{ desk: 'st-1', asOf: '2031-04-05', assignments: student.assignments }],
  'log.lesson': [{ desk: 'st-1', since: '2031-04-01', assignments: student.assignments }],
  'log.words': [{ desk: 'st-1' }],
  'log.bars': [{ fingerprints: ['f-verse'] }],
  'students.list': [{}],
  'students.save': [{ student }],
  'students.remove': [{ id: 'st-1' }],
  'students.removeForGood': [{ id: 'st-2' }],
  'students.restore': [{ id: 'st-1' }],
  'settings.read': [{}],
  'settings.write': [{ patch: { theme: 'dark', levels: { click: 0.5 } } }],
  'host.info': [{}],
  'host.report': [{ where: 'a', name: 'b', message: 'c', stack: 'd' }],
  'host.troubles': [{}],
  'host.openFolder': [{}],
  'host.climbing': [{ on: true, paused: false }],
  'host.takeFiles': [{}],
  'host.printPdf': [{ title: 'x', paper: 'A4' }],
  'archives.save': { leftOut: 'it packs the whole folder, thousands of times' },
  'archives.part': [{ from: 0 }],
  'archives.give': [{ from: 0, base64: 'aGVsbG8=' }],
  'archives.look': [{}],
  'archives.bringIn': [
    {
      charts: ['charts/A.chart.txt'],
      days: [{ desk: 'self', day: '2031-04-05' }],
      documents: true,
      replace: true,
      recordings: true,
    },
  ],
  'archives.putAway': [{}],
  'archives.last': [{}],
  'archives.undo': [{}],
  'copies.ofChart': [{ id: 'k-1' }],
  'copies.text': [{ id: 'k-1', at: '20310405T182000000' }],
  'copies.bringChart': [{ id: 'k-1', at: '20310405T182000000' }],
  'copies.missing': [{}],
  'copies.bringFile': [{ name: 'settings' }],
  'copies.bringDay': [{ desk: 'self', day: '2031-04-05' }],
  'recordings.list': [{}],
  'recordings.begin': [{ about: recordingAbout, kind: 'webm' }],
  'recordings.add': [{ id: 'a', from: 0, base64: 'GkXfo2hlbGxv' }],
  'recordings.end': [{ id: 'a', seconds: 3 }],
  'recordings.open': [{ id: 'a' }],
  'recordings.part': [{ id: 'a', from: 0 }],
  'recordings.remark': [{ id: 'a', remark: 'well' }],
  'recordings.remove': [{ id: 'a' }],
  'shared.read': [{}],
  'shared.choose': { leftOut: 'a path cut short is a folder of this computer' },
  'shared.connect': { leftOut: 'it would call servers; “the address of a server” is the door' },
  'shared.lock': { leftOut: 'a key is made slow on purpose' },
  'shared.relock': { leftOut: 'a key is made slow on purpose' },
  'shared.stop': [{ takeOut: false }, { takeOut: true }],
  'shared.meet': [{}],
  'shared.parted': [{ apart: true }],
  'shared.post': [parcel],
  'shared.keepBack': [{ id: 'a' }],
  'shared.open': [{ id: 'a' }],
  'shared.taken': [{ id: 'a' }],
  'shared.forget': [{ student: 'st-1' }],
  'shared.own': [
    { kind: 'begin', machine: 'Laptop' },
    { kind: 'join', machine: 'Desktop', code: 'ABCD-EFGH-JKMN' },
    { kind: 'leave', empty: false },
  ],
  'shared.lookOwn': [{ code: 'ABCD-EFGH-JKMN' }],
  'shared.reports': [{ to: 'st-1' }],
  'shared.looksFirst': [{ on: true }],
  'shared.sync': [{}],
  'shared.recordings': [{}],
  'shared.giveRecording': [
    { id: 'a', to: 'st-1' },
    { id: 'a', to: null },
  ],
  'shared.takeBack': [{ id: 'a' }],
  'shared.openRecording': [{ id: 'a' }],
  'shared.recordingPart': [{ id: 'a', from: 0 }],
};

const SENT = Object.entries(GOOD).flatMap(([name, inputs]) =>
  'leftOut' in inputs
    ? []
    : inputs.map((input) => [name, frozen(structuredClone(input)) as unknown] as const),
);

export function hostileMessage(roll: Roll): readonly [name: string, input: unknown] {
  const [name, input] = pick(roll, SENT);
  return [roll() < 0.05 ? hostileText(roll, [name]) : name, hostileValue(roll, [input])];
}
