import { MessageChannel } from 'node:worker_threads';

const { port1: toNobody, port2: other } = new MessageChannel();
other.close();
toNobody.unref();

/**
 * Frees the memory of numbers that are done with; afterwards there are none. Left to the collector, the pieces in which
 * pictures arrive, and what is counted in them, lie about by the dozen megabytes. What is sent to a closed port is taken
 * from the sender and dropped: "message port post message steps" of
 * https://html.spec.whatwg.org/multipage/web-messaging.html.
 * @example ((counts) => (freeAtOnce(counts), counts.length))(new Uint32Array(9)) // 0
 */
export function freeAtOnce({ buffer, byteLength }: ArrayBufferView): void {
  // Others may hold the rest of it.
  if (buffer instanceof ArrayBuffer && byteLength === buffer.byteLength)
    toNobody.postMessage(undefined, [buffer]);
}
