/** Reads a file the server offers. */

/** @param {string} address */
export async function readDownload(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address} answered ${answer.status}`);
  const bytes = Buffer.from(await answer.arrayBuffer());
  return { bytes, text: bytes.toString("utf8").replace(/^\uFEFF/, "") };
}
