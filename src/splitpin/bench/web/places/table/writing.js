/** Changes of one scene, written one after the other. */

export class Writing extends EventTarget {
  /**
   * @param {import("../../main.js").Bench} bench
   * @param {string} scene
   */
  constructor(bench, scene) {
    super();
    this.bench = bench;
    this.scene = scene;
    /** @type {Promise<unknown>} */
    this._writing = Promise.resolve();
  }

  /** Told when the server refused a change. */
  refused() {}

  /**
   * Ask for something that changes this scene.
   *
   * @param {string} method
   * @param {string} path After the scene's own.
   * @param {unknown} body
   * @returns {Promise<any>} null when it was refused.
   */
  async change(method, path, body) {
    let told = null;
    await this.write(async () => {
      told = await this.bench.desk.do(method, `scenes/${encodeURIComponent(this.scene)}/${path}`, body);
    });
    return told;
  }

  /**
   * Change values in the scene's document.
   *
   * @param {string} label
   * @param {{path: (string | number)[], value: unknown, insert?: boolean}[]} edits
   */
  edit(label, edits) {
    const document = `scenes/${this.scene}.toml`;
    return this.change("POST", "change", { label, edits: edits.map((one) => ({ document, ...one })) });
  }

  /** @param {() => Promise<void>} action */
  write(action) {
    const done = this._writing.then(() =>
      this.bench.attempt(async () => {
        try {
          await action();
        } catch (problem) {
          this.refused();
          throw problem;
        }
      }),
    );
    this._writing = done;
    return done;
  }

  /** Wait until everything is written. */
  async written() {
    await this._writing;
  }
}
