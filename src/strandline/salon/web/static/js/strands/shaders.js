// What draws hair and head. Light is a factor of the computed colour, in linear light, the same for
// red, green and blue, and held where a channel would pass white: it never turns a hue. It is the
// sine law and the highlight of a lit fibre (Kajiya and Kay 1989), the roundness of the head, and
// how open a place lies; divided by what they come to in the mean of the hair seen.

const ENCODED = `
vec3 encoded(vec3 linear) {
  vec3 kept = clamp(linear, 0.0, 1.0);
  return mix(12.92 * kept, 1.055 * pow(kept, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, kept));
}`;

const START = `#version 300 es
precision highp float;
precision highp int;
precision highp sampler2D;
uniform vec3 right, up, eye, middle, lamp;
uniform vec2 scale;
vec4 shown(vec3 place) {
  vec3 away = place - middle;
  return vec4(dot(away, right) * scale.x, dot(away, up) * scale.y, -dot(away, eye) / 120.0, 1.0);
}`;

/** A ribbon for each strand, an instance of a strip of pairs of corners. */
export const HAIR_VERTEX = `${START}
uniform sampler2D places;
uniform int count, first, way;
in vec4 growing, worn, kinds; // length, growth, start, shed; tip, width; class in each way
uniform float usual, over, pixel, wider, age, lines, line, mean;
uniform float diffuse, gloss, power, form, spread;
out float along, light;
flat out float begins, tip, pace;
flat out int kind;

vec4 texel(sampler2D of, int index) {
  int width = textureSize(of, 0).x;
  return texelFetch(of, ivec2(index % width, index / width), 0);
}
const float APART = 2.0;   // of the lines of a strand, of its width, by eye
const float RAGGED = 0.16; // how far highlights of neighbours lie apart, by eye
float lot(float seed) { return fract(sin(seed * 12.9898) * 43758.5453); }

void main() {
  int step = gl_VertexID / 2;
  int strand = first + gl_InstanceID;
  int root = strand * count;
  vec4 here = texel(places, root + step);
  vec3 before = texel(places, root + max(step - 1, 0)).xyz;
  vec3 after = texel(places, root + min(step + 1, count - 1)).xyz;
  kind = int(kinds[way] + 0.5);

  float share = float(step) / float(count - 1);
  float grown = growing.y * age;
  bool anew = growing.w <= age;
  pace = growing.y / usual;
  begins = anew ? 1e6 : growing.z + grown;
  float seed = float(strand) * 7.0 + line;
  tip = anew ? growing.y * (age - growing.w) : worn.x + grown;
  tip = min(tip, growing.x * (1.0 - 0.06 * lot(seed + 0.5)));
  along = growing.x * share;

  vec3 toward = normalize(after - before + vec3(1e-6));
  vec3 side = cross(toward, eye);
  side = length(side) > 1e-3 ? normalize(side) : right;
  // One of the lines that stand for the strand's hairs, each beside the others in its own wander.
  float wide = worn.y * wider / lines;
  float turn = 6.2832 * lot(seed) + along * (0.08 + 0.3 * lot(seed + 1.5));
  float aside = lines > 1.5 ? APART * worn.y * wider * sin(turn) : 0.0;
  float drawn = max(wide, pixel);
  bool kept = lot(seed + 2.5) * pixel <= wide;  // thinner than a pixel: so many fewer lines
  vec3 place = here.xyz + side * (aside + ((gl_VertexID & 1) == 0 ? -0.5 : 0.5) * drawn);
  gl_Position = kept ? shown(place) : vec4(2.0, 2.0, 2.0, 1.0);
  // A strand lies over its neighbours along its whole length, not piece by piece.
  gl_Position.z -= over * (lot(seed + 6.5) - 0.5) / 120.0;

  float byLamp = dot(toward, lamp), byEye = dot(toward, eye);
  float sine = sqrt(max(1.0 - byLamp * byLamp, 0.0));
  float other = sqrt(max(1.0 - byEye * byEye, 0.0));
  float lies = byLamp + RAGGED * (lot(seed + 4.5) - 0.5);  // cuticles tilt the highlight
  float across = sqrt(max(1.0 - lies * lies, 0.0));
  float mirror = pow(max(across * other - lies * byEye, 0.0), power);
  vec3 out_ = here.xyz - vec3(0.0, 0.0, 2.0);
  out_.z = max(out_.z, 0.0);
  light = here.w / mean * (1.0 + diffuse * (sine - 0.7854) + gloss * (mirror - 0.25)
    + form * (dot(normalize(out_), lamp) - 0.55) + spread * 3.4641 * (lot(seed + 3.5) - 0.5));
}`;

export const HAIR_FRAGMENT = `#version 300 es
precision highp float;
precision highp int;
precision highp sampler2D;
uniform sampler2D colours, starts;
uniform int stretches;
uniform float week;
in float along, light;
flat in float begins, tip, pace;
flat in int kind;
out vec4 shownColour;
${ENCODED}
void main() {
  if (along > tip) discard;
  int stretch = 0;
  float far = 0.0; // what hair had grown to lies on a strand by its own growth
  for (int k = 0; k < stretches; k += 1) {
    vec2 start = texelFetch(starts, ivec2(k, 0), 0).xy;
    far = max(far, start.x * (start.y > 0.5 ? pace : 1.0));
    if (along < begins + far) break;
    stretch = k + 1;
  }
  int column = kind * (stretches + 1) + stretch;
  int low = int(week);
  int last = textureSize(colours, 0).y - 1;
  vec3 colour = mix(
    texelFetch(colours, ivec2(column, low), 0).rgb,
    texelFetch(colours, ivec2(column, min(low + 1, last)), 0).rgb,
    week - float(low));
  float most = max(colour.r, max(colour.g, colour.b));
  shownColour = vec4(encoded(colour * min(max(light, 0.0), 1.0 / max(most, 1e-4))), 1.0);
}`;

export const HEAD_VERTEX = `${START}
in vec3 place, normal;
in float open, cape;
out float light, covered;
uniform float loses;
void main() {
  gl_Position = shown(place);
  covered = cape;
  light = open * (1.0 - loses * (1.0 - dot(normalize(normal), lamp)));
}`;

export const HEAD_FRAGMENT = `#version 300 es
precision highp float;
uniform vec3 skin;
uniform float cloth;
in float light, covered;
out vec4 shownColour;
${ENCODED}
void main() {
  shownColour = vec4(encoded(max(light, 0.0) * (covered > 0.5 ? vec3(cloth) : skin)), 1.0);
}`;
