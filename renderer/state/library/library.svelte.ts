// The charts of this machine as the view holds them: a list, and those of them that were opened.
import { SvelteMap } from 'svelte/reactivity';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { ChartCopy } from '../../../app/services/contract/archives.ts';
import type {
  ChartLibrary,
  ListedChart,
  Services,
} from '../../../app/services/contract/contract.ts';
import { isoNow } from '../../page/clock.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { freeTitle } from './free-title.ts';
import { OneAtATime } from './one-at-a-time.ts';
import { LoadedOnce } from '../../../app/core/base/loaded-once.ts';

interface LibraryAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
}

/** What was read once is kept up to date from the answers to what is written: nothing is read twice. */
export class Library {
  readonly #around: LibraryAround;
  readonly #loading = new LoadedOnce(() => this.#read());
  #loaded = $state(false);
  #charts = $state.raw<readonly ListedChart[]>([]);
  readonly #opened = new SvelteMap<string, Chart>();
  readonly #opening = new OneAtATime<Chart | undefined>();
  #removed = $state.raw<ChartLibrary['removed']>([]);

  constructor(around: LibraryAround) {
    this.#around = around;
  }

  get loaded(): boolean {
    return this.#loaded;
  }
  get charts(): readonly ListedChart[] {
    return this.#charts;
  }
  /** Deleted charts that can be brought back, newest first. */
  get removed(): ChartLibrary['removed'] {
    return this.#removed;
  }

  /** Reads the library the first time it is asked for. */
  load = this.#loading.get;

  /** Those whose text has no mistake, as far as that is known: only they can be set or played. */
  readonly whole: readonly ListedChart[] = $derived(
    this.#charts.filter(({ flawed }) => flawed !== true),
  );

  listed = (id: string): ListedChart | undefined => this.#charts.find((chart) => chart.id === id);

  /** The chart where it was opened already; else it is opened, and is there a moment later. */
  find = (id: string): Chart | undefined => {
    if (!this.listed(id)) return undefined;
    const chart = this.#opened.get(id);
    if (!chart) void this.open(id).catch(() => undefined);
    return chart;
  };

  /** Undefined where it is not there, or where its text has a mistake. */
  open = (id: string): Promise<Chart | undefined> => {
    if (!this.listed(id)) return Promise.resolve(undefined);
    const chart = this.#opened.get(id);
    if (chart) return Promise.resolve(chart);
    return this.#opening.run(id, () => this.#open(id));
  };

  /** Those of the charts that are there and whole. */
  openAll = async (ids: Iterable<string>): Promise<readonly Chart[]> => {
    const once = [...ids].filter((id, i, all) => all.indexOf(id) === i);
    const charts = await Promise.all(once.map(this.open));
    return charts.filter((chart) => chart !== undefined);
  };

  /** The text of a chart's file, also where it has mistakes. */
  text = (id: string): Promise<Result<string>> => this.#around.services.call('charts.text', { id });

  /** Earlier versions of a chart, newest first. */
  versionsOf = (id: string): Promise<readonly ChartCopy[]> =>
    this.#around.services.call('copies.ofChart', { id });

  versionText = async (id: string, at: string): Promise<string | undefined> => {
    const text = await this.#around.services.call('copies.text', { id, at });
    return text.ok ? text.value : undefined;
  };

  /** The earlier version takes the chart's place; undefined after saying why it was refused. */
  bringBackVersion = async ({ id }: Pick<Chart, 'id'>, at: string): Promise<Chart | undefined> => {
    const chart = this.#hold(await this.#around.services.call('copies.bringChart', { id, at }));
    if (chart) this.#around.messages.say(`‘${chart.title}’ is again as it was.`);
    return chart;
  };

  /** Another program has changed the folder: the list is read anew, and charts when they are next asked for. */
  refresh = async (): Promise<void> => {
    if (!this.#loading.asked) return;
    await this.#read();
    this.#opened.clear();
  };

  /** Adds or replaces; undefined after saying why it was refused. */
  save = async (chart: Chart): Promise<Chart | undefined> =>
    this.#hold(await this.#around.services.call('charts.save', { chart }));

  duplicate = (id: string): Promise<Chart | undefined> =>
    this.#again(id, (chart) => ({
      ...chart,
      id: crypto.randomUUID(),
      title: freeTitle(`${chart.title} (copy)`, this.charts),
    }));

  rename = (id: string, title: string): Promise<Chart | undefined> =>
    this.#again(id, (chart) => ({ ...chart, title: title.trim() }));

  async #again(id: string, change: (chart: Chart) => Chart): Promise<Chart | undefined> {
    const chart = await this.open(id);
    if (chart) return this.save(change(chart));
    this.#around.messages.say('Open this chart first: its text has a mistake.');
    return undefined;
  }

  /** Its log stays; the remark offers to bring it back. */
  remove = async (chart: Pick<Chart, 'id' | 'title'>): Promise<void> => {
    if (!(await this.takeOut(chart.id))) return;
    this.#around.messages.say(`‘${chart.title}’ was deleted. Its log stays.`, {
      label: 'Undo',
      run: () => void this.restore(chart.id),
    });
  };

  /** Removes without a word; false after saying why it was refused. */
  takeOut = async (id: string): Promise<boolean> => {
    const removed = await this.#around.services.call('charts.remove', { id });
    if (!removed.ok) {
      this.#around.messages.refuse(removed.problems);
      return false;
    }
    const gone = this.listed(id);
    this.#charts = this.#charts.filter((chart) => chart.id !== id);
    if (gone) this.#removed = [{ id, title: gone.title, at: isoNow() }, ...this.#removed];
    return true;
  };

  restore = async (id: string): Promise<void> => {
    this.#hold(await this.#around.services.call('charts.restore', { id }));
  };

  /** Takes the text of an exported chart; the library is as it was when the text is refused. */
  importText = async (text: string): Promise<Chart | undefined> =>
    this.#hold(await this.#around.services.call('charts.import', { text }));

  async #read(): Promise<void> {
    const read = await this.#around.services.call('charts.list', {});
    this.#charts = read.charts;
    this.#removed = read.removed;
    this.#loaded = true;
    this.#around.messages.refuse(read.problems);
  }

  async #open(id: string): Promise<Chart | undefined> {
    const answer = await this.#around.services.call('charts.open', { id });
    const listed = this.listed(id);
    if (answer.ok) this.#opened.set(id, answer.value);
    else if (listed) {
      this.#charts = this.#charts.map((one) => (one === listed ? { ...one, flawed: true } : one));
    }
    return answer.ok ? answer.value : undefined;
  }

  #hold(answer: Result<Chart>): Chart | undefined {
    if (!answer.ok) {
      this.#around.messages.refuse(answer.problems);
      return undefined;
    }
    const chart = answer.value;
    const at = this.#charts.findIndex(({ id }) => id === chart.id);
    const listed = listedAs(chart);
    this.#charts = at < 0 ? [...this.#charts, listed] : this.#charts.with(at, listed);
    this.#opened.set(chart.id, chart);
    this.#removed = this.#removed.filter(({ id }) => id !== chart.id);
    return chart;
  }
}

const listedAs = ({ id, title, tempo, meter, feel, sections }: Chart): ListedChart => ({
  id,
  title,
  tempo,
  meter,
  swung: feel.kind === 'swing',
  sections: sections.length,
});
