// What is done on the machines of an interleaving: passes, words, values and students, each with a number of its own.
import { isoTimeOf } from '../../../app/core/base/iso-time.ts';
import type { Json } from '../../../app/core/exchange/shared/facts.ts';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import { passEntry } from '../../unit/services/samples.ts';
import type { EngineMachine } from './engine.ts';
import { idOf, reportOf, studentOf } from './pupils.ts';
import { Versions } from './versions.ts';

export class Practice {
  readonly versions = new Versions();
  #made = 0;

  play(machine: EngineMachine, n: number): void {
    const entries = Array.from({ length: 1 + (n % 3) }, () => {
      const fingerprint = `bars-${n % 2}`;
      return passEntry(`${machine.name}-${++this.#made}`, {
        at: isoTimeOf(machine.now()),
        unit: { key: `section:${n % 2}`, name: 'Verse', fingerprint },
      });
    });
    machine.append(entries);
  }

  /** A report of a student comes in where they are on the list. */
  report(machine: EngineMachine, n: number): void {
    const id = idOf(n);
    if (!machine.students.some((one) => one.id === id)) return;
    const made = `${machine.name}-${++this.#made}`;
    machine.append(reportOf(id, made, isoTimeOf(machine.now())), id);
  }

  word(machine: EngineMachine, n: number): void {
    const { passes } = machine.store.read.passes({ desk: OWN_DESK });
    const pass = passes[n % passes.length];
    if (!pass) return;
    const verdict = pass.verdict === 'clean' ? 'missed' : 'clean';
    const at = isoTimeOf(machine.now());
    const amendment = { amends: pass.id, at, verdict, source: 'self' } as const;
    machine.append([{ kind: 'amendment', amendment }] satisfies LogEntry[]);
  }

  set(machine: EngineMachine, n: number): void {
    this.choose(machine, `setting:${n % 7}`, ++this.#made);
  }

  edit(machine: EngineMachine, n: number): void {
    this.choose(machine, `chart:${n % 2}`, `title: Song ${n % 2}\n${++this.#made}`);
  }

  choose(machine: EngineMachine, key: string, value: Json): void {
    this.versions.set(value, machine.values.get(key));
    machine.set(key, value);
  }

  teach(machine: EngineMachine, n: number): void {
    machine.saveStudent(studentOf(n, ++this.#made));
  }

  unset(machine: EngineMachine, n: number): void {
    this.choose(machine, n % 2 === 0 ? `setting:${n % 7}` : `chart:${(n % 4) >> 1}`, null);
  }
}
