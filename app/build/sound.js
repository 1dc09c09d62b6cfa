// Takes the microphone's sound where the browser makes it, and hands it to the page in pieces of a
// tenth of a second or so. It keeps nothing.

const PIECE = 4096;

registerProcessor(
  "sound",
  class extends AudioWorkletProcessor {
    piece = new Float32Array(PIECE);
    filled = 0;
    missed = false;

    process([[sound]]) {
      // Silence to the last digit says that something is missing here: what follows is not joined to what was before.
      if (sound && this.missed) this.take(new Float32Array(sound.length));
      if (sound) this.take(sound);
      this.missed = !sound;
      return true;
    }

    take(sound) {
      this.piece.set(sound, this.filled);
      this.filled += sound.length;
      if (this.filled + sound.length > PIECE) {
        const piece = this.piece.slice(0, this.filled);
        this.port.postMessage(piece, [piece.buffer]);
        this.filled = 0;
      }
    }
  },
);
