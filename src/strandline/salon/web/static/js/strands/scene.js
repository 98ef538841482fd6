// A head and its hair on a canvas: what was told becomes textures once; a week is two numbers.

import { Geometry } from "../../vendor/ogl/core/Geometry.js";
import { Program } from "../../vendor/ogl/core/Program.js";
import { Renderer } from "../../vendor/ogl/core/Renderer.js";
import { Texture } from "../../vendor/ogl/core/Texture.js";
import { inUnits } from "./bytes.js";
import { lampOf } from "./camera.js";
import { HAIR_FRAGMENT, HAIR_VERTEX, HEAD_FRAGMENT, HEAD_VERTEX } from "./shaders.js";

/**
 * @typedef {import("./bytes.js").Told} Told
 * @typedef {import("./camera.js").Camera} Camera
 * @typedef {import("../../vendor/ogl/core/Renderer.js").OGLRenderingContext} Context
 * @typedef {{x: number, y: number, width: number, height: number}} Box
 * @typedef {{frame: WebGLFramebuffer | null, stores: (WebGLRenderbuffer | null)[],
 *   width: number, height: number}} Aside
 * @typedef {{colours: Texture, starts: Texture, stretches: number, ages: number[]}} WayParts
 */

const TEXELS = 2048;
/** Finer pixels to a pixel's side, of what is drawn beside the canvas. */
export const FINER = 2;
const LINE_PX = 1.3;
/** A head with its hair is so much less wide than high. */
const SLIM = 0.86;

export class Scene {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {Told} told
   * @param {{antialias: boolean}} how
   */
  constructor(canvas, told, how) {
    this.canvas = canvas;
    this.told = told;
    this.renderer = new Renderer({
      canvas,
      width: canvas.width,
      height: canvas.height,
      antialias: how.antialias,
      alpha: false,
      preserveDrawingBuffer: true, // a page is printed with what it shows
      powerPreference: "low-power",
    });
    canvas.removeAttribute("style"); // its size on the page is the page's
    const gl = /** @type {WebGL2RenderingContext & Context} */ (this.renderer.gl);
    this.gl = gl;
    this.meanWide = mean(inUnits(told, "wide"));
    const light = told.head.light;
    this.ground = encoded(light.ground);
    const shared = {
      right: { value: [1, 0, 0] },
      up: { value: [0, 0, 1] },
      eye: { value: [0, 1, 0] },
      middle: { value: [0, 0, 0] },
      lamp: { value: [0, 1, 0] },
      scale: { value: [1, 1] },
    };
    /** @type {Record<string, {value: any}>} */
    this.shared = shared;
    this.ways = told.head.ways.map((_, number) => this.wayParts(number));
    this.hair = new Program(gl, {
      vertex: HAIR_VERTEX,
      fragment: HAIR_FRAGMENT,
      cullFace: false,
      uniforms: {
        ...shared,
        places: { value: this.placesTexture() },
        colours: { value: this.ways[0].colours },
        starts: { value: this.ways[0].starts },
        count: { value: told.head.places },
        first: { value: 0 },
        way: { value: 0 },
        stretches: { value: 1 },
        usual: { value: told.head.rate },
        over: { value: told.head.light.order_cm },
        week: { value: 0 },
        age: { value: 0 },
        pixel: { value: 0.05 },
        mean: { value: 1 },
        wider: { value: 1 },
        lines: { value: 1 },
        line: { value: 0 },
        diffuse: { value: light.diffuse },
        gloss: { value: light.gloss },
        power: { value: light.gloss_power },
        form: { value: light.form },
        spread: { value: light.strand },
      },
    });
    const { growing, worn, kinds } = this.strandParts();
    this.strips = new Geometry(gl, {
      growing: { size: 4, instanced: 1, data: growing },
      worn: { size: 4, instanced: 1, data: worn },
      kinds: { size: 4, instanced: 1, data: kinds },
    });
    this.strips.setDrawRange(0, 2 * told.head.places);
    this.head = new Program(gl, {
      vertex: HEAD_VERTEX,
      fragment: HEAD_FRAGMENT,
      cullFace: false,
      uniforms: {
        ...shared,
        cloth: { value: light.cape },
        skin: {
          value: [1 + light.head_warmth, 1 - light.head_pink, 1 - light.head_warmth].map(
            (one) => one * light.head,
          ),
        },
        loses: { value: light.round },
      },
    });
    this.skin = new Geometry(gl, {
      place: { size: 3, data: inUnits(told, "head_place") },
      normal: { size: 3, data: inUnits(told, "head_normal") },
      open: { size: 1, data: inUnits(told, "head_light") },
      cape: { size: 1, data: Float32Array.from(told.arrays.head_cape) },
      index: { data: /** @type {Uint16Array} */ (told.arrays.head_corners) },
    });
  }

  /** Clear the canvas to the neutral ground. */
  clear() {
    const { gl } = this;
    gl.disable(gl.SCISSOR_TEST);
    gl.clearColor(this.ground, this.ground, this.ground, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
  }

  /**
   * Draw one head in a part of the canvas.
   * @param {Box} box in pixels, from the lower left
   * @param {Camera} camera
   * @param {number} way
   * @param {number} week place among the weeks; between two of them the hair grows on
   * @param {number} ribbons to draw for each strand told at most; below 1 a part of the strands
   * @returns {number} ribbons drawn for each strand told
   */
  draw(box, camera, way, week, ribbons) {
    let drawn = 0;
    for (const part of this.parts(box, camera, way, week, ribbons, Infinity)) drawn += part;
    return drawn;
  }

  /**
   * Draw one head part by part; what else is drawn between two parts may be another place.
   * @param {Box} box
   * @param {Camera} camera
   * @param {number} way
   * @param {number} week
   * @param {number} ribbons
   * @param {number} most ribbons of each part
   * @returns {Generator<number>} ribbons drawn for each strand told, part by part
   */
  *parts(box, camera, way, week, ribbons, most) {
    const { gl, shared, told } = this;
    const perCm = Math.min(box.height, box.width / SLIM) / camera.height;
    gl.viewport(box.x, box.y, box.width, box.height);
    Object.assign(shared.right, { value: camera.right });
    Object.assign(shared.up, { value: camera.up });
    Object.assign(shared.eye, { value: camera.eye });
    Object.assign(shared.middle, { value: camera.middle });
    Object.assign(shared.lamp, { value: lampOf(camera) });
    Object.assign(shared.scale, { value: [(2 * perCm) / box.width, (2 * perCm) / box.height] });

    this.head.use();
    this.skin.draw({ program: this.head });

    const count = Math.max(Math.round(told.head.strands * Math.min(ribbons, 1)), 1);
    const parts = this.ways[way];
    const uniforms = this.hair.uniforms;
    const wider = told.head.strands / count;
    const wanted = Math.round((this.meanWide * wider * perCm) / LINE_PX);
    const lines = Math.max(Math.min(wanted, Math.floor(ribbons)), 1);
    uniforms.colours.value = parts.colours;
    uniforms.starts.value = parts.starts;
    uniforms.stretches.value = parts.stretches;
    uniforms.way.value = way;
    uniforms.week.value = week;
    uniforms.age.value = ageAt(parts.ages, week);
    uniforms.pixel.value = 1 / perCm;
    uniforms.mean.value = camera.light;
    uniforms.wider.value = wider;
    uniforms.lines.value = lines;
    const each = Math.min(Math.max(Math.floor(most), 1), count);
    for (let line = 0; line < lines; line += 1) {
      for (let first = 0; first < count; first += each) {
        uniforms.line.value = line;
        this.strandsFrom(first, Math.min(each, count - first));
        this.hair.use();
        this.strips.draw({ program: this.hair, mode: gl.TRIANGLE_STRIP });
        yield Math.min(each, count - first) / told.head.strands;
      }
    }
  }

  /**
   * Let the next ribbons be those of some strands.
   * @param {number} first
   * @param {number} count
   */
  strandsFrom(first, count) {
    const { strips } = this;
    if (this.hair.uniforms.first.value !== first) {
      this.hair.uniforms.first.value = first;
      for (const one of Object.values(strips.attributes)) one.offset = 16 * first;
      for (const [key, kept] of Object.entries(strips.VAOs)) {
        this.gl.deleteVertexArray(kept); // it is bound anew from there on
        delete strips.VAOs[key];
      }
      Reflect.set(this.renderer, "currentGeometry", null);
    }
    strips.setInstancedCount(count);
  }

  /**
   * Draw beside the canvas from here on, or on it again.
   * @param {Aside | null} aside
   */
  drawOn(aside) {
    this.gl.bindFramebuffer(this.gl.FRAMEBUFFER, aside ? aside.frame : null);
  }

  /** Give a place to draw beside the canvas, so many times as fine, without smoothed edges. */
  aside() {
    const { gl } = this;
    const frame = gl.createFramebuffer();
    const [width, height] = [FINER * this.canvas.width, FINER * this.canvas.height];
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    const stores = [
      [gl.RGBA8, gl.COLOR_ATTACHMENT0],
      [gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT],
    ].map(([format, use]) => {
      const store = gl.createRenderbuffer();
      gl.bindRenderbuffer(gl.RENDERBUFFER, store);
      gl.renderbufferStorage(gl.RENDERBUFFER, format, width, height);
      gl.framebufferRenderbuffer(gl.FRAMEBUFFER, use, gl.RENDERBUFFER, store);
      return store;
    });
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    return { frame, stores, width, height };
  }

  /**
   * Show on the canvas what was drawn beside it, each pixel the mean of its finer ones.
   * @param {Aside} aside
   */
  show(aside) {
    const { gl, canvas } = this;
    gl.bindFramebuffer(gl.READ_FRAMEBUFFER, aside.frame);
    gl.bindFramebuffer(gl.DRAW_FRAMEBUFFER, null);
    const from = /** @type {const} */ ([0, 0, aside.width, aside.height]);
    const to = /** @type {const} */ ([0, 0, canvas.width, canvas.height]);
    gl.blitFramebuffer(...from, ...to, gl.COLOR_BUFFER_BIT, gl.LINEAR);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
  }

  /** @param {Aside} aside */
  letGo(aside) {
    this.gl.deleteFramebuffer(aside.frame);
    for (const store of aside.stores) this.gl.deleteRenderbuffer(store);
  }

  /** Wait until all of it is drawn. */
  finish() {
    const { gl } = this;
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
  }

  /**
   * @param {number} number
   * @returns {WayParts}
   */
  wayParts(number) {
    const { told } = this;
    const { starts_cm: starts, grown, ages } = told.head.ways[number];
    const [weeks, kinds, stretches] = told.head.arrays[`colour_${number}`].shape;
    const colour = told.arrays[`colour_${number}`];
    const image = new Uint8Array((colour.length / 3) * 4).fill(255);
    for (let i = 0; i < colour.length; i += 1) image[4 * Math.floor(i / 3) + (i % 3)] = colour[i];
    const { gl } = this;
    return {
      colours: new Texture(gl, {
        ...this.exact(),
        image,
        width: kinds * stretches,
        height: weeks,
        format: gl.RGBA,
        internalFormat: gl.SRGB8_ALPHA8,
      }),
      starts: this.floats(new Float32Array(starts.flatMap((start, k) => [start, grown[k] ? 1 : 0, 0, 0])), true),
      stretches: starts.length,
      ages,
    };
  }

  placesTexture() {
    const { told } = this;
    const place = inUnits(told, "place");
    const light = inUnits(told, "light");
    const count = light.length;
    const image = new Float32Array(4 * count);
    for (let i = 0; i < count; i += 1) {
      image[4 * i] = place[i];
      image[4 * i + 1] = place[count + i];
      image[4 * i + 2] = place[2 * count + i];
      image[4 * i + 3] = light[i];
    }
    return this.floats(image);
  }

  /** What a ribbon is told of its strand, four figures at a time. */
  strandParts() {
    const { told } = this;
    const of = (/** @type {string} */ name) => inUnits(told, name);
    const kinds = told.head.ways.map((_, way) => told.arrays[`kind_${way}`]);
    return {
      growing: interleaved([of("length"), of("growth"), of("start"), of("shed")]),
      worn: interleaved([of("tip"), of("wide")]),
      kinds: interleaved(kinds),
    };
  }

  /**
   * @param {Float32Array} values four to a texel
   * @param {boolean} [oneRow]
   */
  floats(values, oneRow = false) {
    const { gl } = this;
    const texels = values.length / 4;
    const width = oneRow ? texels : TEXELS;
    const height = Math.ceil(texels / width);
    const image = new Float32Array(4 * width * height);
    image.set(values);
    return new Texture(gl, {
      ...this.exact(),
      image,
      width,
      height,
      type: gl.FLOAT,
      format: gl.RGBA,
      internalFormat: gl.RGBA32F,
    });
  }

  /** What a texture is that is read texel by texel. */
  exact() {
    const { NEAREST } = this.gl;
    return { generateMipmaps: false, flipY: false, minFilter: NEAREST, magFilter: NEAREST };
  }
}

/**
 * Give the weeks since the hair was last as on the day; between two weeks it grows on.
 * @param {number[]} ages
 * @param {number} week
 */
export function ageAt(ages, week) {
  const low = Math.floor(week);
  const next = ages[Math.min(low + 1, ages.length - 1)];
  return ages[low] + (week - low) * Math.max(next - ages[low], 0);
}

/**
 * Give up to four figures of each strand beside each other.
 * @param {ArrayLike<number>[]} figures
 */
function interleaved(figures) {
  const out = new Float32Array(4 * figures[0].length);
  figures.forEach((values, k) => {
    for (let i = 0; i < values.length; i += 1) out[4 * i + k] = values[i];
  });
  return out;
}

/** @param {Float32Array} values */
function mean(values) {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** @param {number} linear */
function encoded(linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}
