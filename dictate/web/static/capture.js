// The microphone as 16 kHz mono samples, and samples as a WAV file. Shared by recording and speaking again.
const RATE = 16000;

export const canCapture = () => Boolean(navigator.mediaDevices?.getUserMedia && window.AudioWorkletNode);

// Calls `take` with a Float32Array for every few milliseconds; returns a function that stops.
export async function capture(take) {
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false },
  });
  const context = new AudioContext({ sampleRate: RATE });
  await context.audioWorklet.addModule("/static/capture-worklet.js");
  const source = context.createMediaStreamSource(stream);
  const node = new AudioWorkletNode(context, "capture", { numberOfOutputs: 0 });
  node.port.onmessage = (event) => take(event.data);
  source.connect(node);
  return async () => {
    source.disconnect();
    for (const track of stream.getTracks()) track.stop();
    await context.close();
  };
}

export function wav(parts) {
  const length = parts.reduce((sum, part) => sum + part.length, 0);
  const view = new DataView(new ArrayBuffer(44 + length * 2));
  const text = (at, letters) => [...letters].forEach((c, i) => view.setUint8(at + i, c.charCodeAt(0)));
  text(0, "RIFF");
  view.setUint32(4, 36 + length * 2, true);
  text(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, RATE, true);
  view.setUint32(28, RATE * 2, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  text(36, "data");
  view.setUint32(40, length * 2, true);
  let at = 44;
  for (const part of parts)
    for (const sample of part) {
      view.setInt16(at, Math.max(-1, Math.min(1, sample)) * 32767, true);
      at += 2;
    }
  return new Blob([view], { type: "audio/wav" });
}

export const loudness = (part) =>
  Math.sqrt(part.reduce((sum, sample) => sum + sample * sample, 0) / part.length);

export { RATE };
