// An AudioWorklet that hands back every sample it is fed, with the frame at which the batch began.
const BATCH = 8192;

class Recorder extends AudioWorkletProcessor {
  batch = new Float32Array(BATCH);
  filled = 0;
  startsAt = 0;

  process([[channel]]) {
    // The browser may leave out a quantum of a node (seen while it starts): a batch has no holes.
    if (currentFrame !== this.startsAt + this.filled) this.hand();
    if (this.filled === 0) this.startsAt = currentFrame;
    if (channel) this.batch.set(channel, this.filled);
    else this.batch.fill(0, this.filled, this.filled + 128);
    this.filled += 128;
    if (this.filled === BATCH) this.hand();
    return true;
  }

  hand() {
    if (this.filled > 0) {
      const samples = this.batch.slice(0, this.filled);
      this.port.postMessage({ startsAt: this.startsAt, samples });
    }
    this.filled = 0;
  }
}

registerProcessor('recorder', Recorder);
