// How one bead is drawn: a ray is sent at a solid of revolution about its hole, through each point of two triangles.

const POINT_SHADER = `#version 300 es
precision highp float;
in vec2 corner;
in vec3 centre;
in vec3 axis;
in vec3 solid;
in vec3 colour;
uniform mat3 camera;
uniform vec3 middle;
uniform vec3 fit;
out vec2 offset;
flat out vec3 hole;
flat out vec3 shape;
flat out vec3 tint;
flat out float nearness;
void main() {
  vec3 at = camera * (centre - middle);
  hole = normalize(camera * axis);
  vec2 along = abs(hole.xy);
  vec2 reach = solid.x * along + solid.y * sqrt(max(vec2(1.0) - along * along, vec2(0.0))) + 0.02;
  offset = corner * reach;
  shape = solid;
  tint = colour;
  nearness = at.z;
  gl_Position = vec4((at.xy + offset) * fit.xy, 0.0, 1.0);
}`;

// A ray at an offset p from the middle meets the solid where |p|^2 + m s^2 = radius^2, with s along the hole and
// m = swell radius^2 - 1, or on one of the flat ends.
const BEAD_SHADER = `#version 300 es
precision highp float;
in vec2 offset;
flat in vec3 hole;
flat in vec3 shape;
flat in vec3 tint;
flat in float nearness;
uniform vec3 fit;
out vec4 ink;
void main() {
  float half_length = shape.x, radius = shape.y, swell = shape.z;
  float m = swell * radius * radius - 1.0;
  float s0 = dot(offset, hole.xy), q = dot(offset, offset);
  float a = max(1.0 + m * hole.z * hole.z, 1e-6);
  float b = m * s0 * hole.z;
  float square = b * b - a * (q + m * s0 * s0 - radius * radius);
  float t = (sqrt(max(square, 0.0)) - b) / a;
  float s = s0 + hole.z * t;
  vec3 normal;
  float light = 1.0;
  if (square >= 0.0 && abs(s) <= half_length) {
    normal = normalize(vec3(offset, t) + m * s * hole);
    light = 0.72 + 0.28 * smoothstep(0.0, 0.22, 1.0 - abs(s) / half_length);
  } else {
    float tilt = abs(hole.z) < 1e-5 ? 1e-5 : hole.z;
    t = (sign(tilt) * half_length - s0) / tilt;
    float away = q + t * t - half_length * half_length;
    float end = radius * radius * (1.0 - swell * half_length * half_length);
    if (away > end) discard;
    normal = sign(tilt) * hole;
    if (swell > 0.0 || away < 0.3 * radius * radius) light = 0.25;
  }
  vec3 lamp = normalize(vec3(-0.45, 0.65, 0.75));
  float lit = 0.38 + 0.16 * normal.y + 0.62 * max(dot(normal, lamp), 0.0);
  float shine = pow(max(dot(normal, normalize(lamp + vec3(0.0, 0.0, 1.0))), 0.0), 60.0);
  vec3 linear = tint * lit * light + 0.16 * shine * light;
  ink = vec4(pow(clamp(linear, 0.0, 1.0), vec3(1.0 / 2.2)), 1.0);
  gl_FragDepth = 0.5 - 0.5 * (nearness + t) * fit.z;
}`;
