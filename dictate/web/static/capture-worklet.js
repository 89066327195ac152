// Hands the microphone's samples over in blocks of 64 ms.
const BLOCK = 1024;

class Capture extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Float32Array(BLOCK);
    this.filled = 0;
  }

  process([input]) {
    const samples = input[0];
    if (!samples) return true;
    let from = 0;
    while (from < samples.length) {
      const room = Math.min(BLOCK - this.filled, samples.length - from);
      this.block.set(samples.subarray(from, from + room), this.filled);
      this.filled += room;
      from += room;
      if (this.filled === BLOCK) {
        this.port.postMessage(this.block.slice());
        this.filled = 0;
      }
    }
    return true;
  }
}

registerProcessor("capture", Capture);
