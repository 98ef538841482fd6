// From where a head is looked at: parallel rays, so that a centimetre is one everywhere.

/**
 * @typedef {{turn: number, tilt: number}} Pose degrees: to her right; from above
 * @typedef {[number, number, number]} Triple
 * @typedef {{right: Triple, up: Triple, eye: Triple, middle: Triple, height: number, light: number}} Camera
 */

export const LEAST_TILT = -15;
export const MOST_TILT = 88;
const LEVEL_TILT = 30;

/**
 * Give the camera of a pose: between the front's frame and the top's by how far it is tilted.
 * @param {Record<string, number[]>} views by name turn, tilt, middle (right, front, up), height,
 *   and what the light comes to in the mean of the hair seen
 * @param {Pose} pose
 * @returns {Camera}
 */
export function cameraOf(views, pose) {
  const { front, side, back, top } = views;
  const share = Math.min(Math.max((pose.tilt - LEVEL_TILT) / (top[1] - LEVEL_TILT), 0), 1);
  const between = (/** @type {number} */ k) => front[k] + share * (top[k] - front[k]);
  const turn = (pose.turn * Math.PI) / 180;
  const tilt = (pose.tilt * Math.PI) / 180;
  const aside = Math.sin(turn) ** 2;
  const level = aside * side[6] + (1 - aside) * (Math.cos(turn) > 0 ? front : back)[6];
  /** @type {Triple} */
  const right = [-Math.cos(turn), Math.sin(turn), 0];
  /** @type {Triple} */
  const eye = [
    Math.sin(turn) * Math.cos(tilt),
    Math.cos(turn) * Math.cos(tilt),
    Math.sin(tilt),
  ];
  return {
    right,
    eye,
    up: [
      eye[1] * right[2] - eye[2] * right[1],
      eye[2] * right[0] - eye[0] * right[2],
      eye[0] * right[1] - eye[1] * right[0],
    ],
    middle: [between(2), between(3), between(4)],
    height: between(5),
    light: level + share * (top[6] - level),
  };
}

/**
 * Give the direction to the lamp, over the eye and to its left, of length 1.
 * @param {Camera} camera
 * @returns {Triple}
 */
export function lampOf(camera) {
  const toward = [0, 1, 2].map(
    (k) => camera.eye[k] + 0.75 * camera.up[k] - 0.45 * camera.right[k],
  );
  const size = Math.hypot(...toward);
  return [toward[0] / size, toward[1] / size, toward[2] / size];
}

/**
 * Turn a pose by degrees, its tilt kept within what is shown.
 * @param {Pose} pose
 * @param {number} turn
 * @param {number} tilt
 * @returns {Pose}
 */
export function turnedBy(pose, turn, tilt) {
  return {
    turn: (((pose.turn + turn) % 360) + 360) % 360,
    tilt: Math.min(Math.max(pose.tilt + tilt, LEAST_TILT), MOST_TILT),
  };
}
