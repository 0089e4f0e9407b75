"""What the graphics library runs for every vertex and every pixel."""

LIGHTING = """
uniform sampler2DShadow shadow_map;
uniform mat4 shadow_matrix;
uniform vec3 lamp;
uniform vec3 lamp_colour;
uniform vec3 ambient_colour;
float lit(vec3 world) {
    vec4 p = shadow_matrix * vec4(world, 1.0);
    vec3 q = p.xyz * 0.5 + 0.5;
    float sum = 0.0;
    for (int i = 0; i < 4; i++) {
        vec2 step = vec2(float(i % 2) - 0.5, float(i / 2) - 0.5) * 0.0035;
        sum += texture(shadow_map, vec3(q.xy + step, q.z - 0.0025));
    }
    return sum / 4.0;
}
vec3 shade(vec3 colour, vec3 normal, vec3 world) {
    float facing = max(dot(normal, lamp), 0.0);
    float sky = 0.72 + 0.28 * normal.z;
    return colour * (ambient_colour * sky + lamp_colour * facing * lit(world));
}
"""

STILL_VERTEX = """
#version 330
uniform mat4 view;
in vec3 position; in vec3 normal; in vec2 place; in float layer; in vec3 colour;
out vec3 v_world; out vec3 v_normal; out vec3 v_place; out vec3 v_colour;
void main() {
    v_world = position; v_normal = normal; v_place = vec3(place, layer); v_colour = colour;
    gl_Position = view * vec4(position, 1.0);
}
"""

STILL_PIXEL = (
    """
#version 330
uniform sampler2DArray tiles;
in vec3 v_world; in vec3 v_normal; in vec3 v_place; in vec3 v_colour;
out vec4 seen;
"""
    + LIGHTING
    + """
void main() {
    vec3 colour = v_colour * texture(tiles, v_place).rgb / 0.8;
    seen = vec4(shade(colour * colour, normalize(v_normal), v_world), 1.0);
}
"""
)

BODY_VERTEX = """
#version 330
uniform mat4 view;
uniform float sleeve; uniform float trouser; uniform float shoes; uniform float waist; uniform float strap;
in vec3 position; in vec3 normal; in vec3 rest; in vec4 part; in float along_arm;
out vec3 v_world; out vec3 v_normal; out vec3 v_rest; out vec4 v_part; out float v_along;
void main() {
    v_rest = rest; v_part = part; v_along = along_arm; v_normal = normal;
    bool shorts = rest.z < waist && rest.z > trouser && part.y < 0.5;
    vec3 at = position + normal * (shorts ? 0.007 : 0.0) + normal * (part.w > 0.5 ? 0.004 * shoes : 0.0);
    v_world = at;
    gl_Position = view * vec4(at, 1.0);
}
"""

BODY_PIXEL = (
    """
#version 330
uniform sampler3D noise;
uniform vec3 skin; uniform vec3 top; uniform vec3 bottom; uniform vec3 shoe; uniform vec3 hair;
uniform float sleeve; uniform float trouser; uniform float shoes; uniform float waist; uniform float strap;
uniform float pattern; uniform float hair_style; uniform vec3 ears; uniform float topped; uniform float neck_line;
in vec3 v_world; in vec3 v_normal; in vec3 v_rest; in vec4 v_part; in float v_along;
out vec4 seen;
"""
    + LIGHTING
    + """
vec3 cloth(vec3 colour, vec4 coarse, vec4 fine, float seam) {
    float weave = 0.82 + 0.30 * fine.r + 0.25 * (coarse.g - 0.5);
    if (pattern > 0.5 && pattern < 1.5) weave += 0.5 * (fine.b - 0.5);
    if (pattern > 1.5 && pattern < 2.5) weave *= fract(v_rest.z * 11.0) < 0.22 ? 1.9 : 1.0;
    if (pattern > 2.5) weave *= coarse.b > 0.56 ? 1.7 : (coarse.b < 0.42 ? 0.55 : 1.0);
    return colour * weave * mix(1.0, 0.55, seam);
}
void main() {
    vec4 coarse = texture(noise, v_rest * 3.1);
    vec4 fine = texture(noise, v_rest * 17.0);
    vec4 hairs = texture(noise, v_rest * vec3(9.0, 9.0, 41.0));
    vec3 normal = normalize(v_normal);
    vec3 from_ears = v_rest - ears;
    float arm = v_part.y, head = v_part.x, foot = v_part.w;
    float blush = 1.0 + 0.20 * (coarse.r - 0.5) + 0.14 * (fine.g - 0.5) + 0.12 * (coarse.a - 0.5);
    vec3 colour = skin * blush * vec3(1.0, 1.0 - 0.12 * (coarse.b - 0.5), 1.0 - 0.15 * (coarse.b - 0.5));
    if (fine.a > 0.88) colour *= 0.82;
    float bump = 0.25;
    bool on_arm = arm > 0.5;
    bool clothed_top = topped > 0.5 && head < neck_line && v_rest.z > waist - 0.01
        && (on_arm ? v_along < sleeve : (strap < 0.5 || abs(v_rest.y) < 0.135 || v_rest.z < ears.z - 0.30));
    float hem = on_arm ? smoothstep(0.02, 0.0, abs(v_along - sleeve + 0.02)) : smoothstep(0.008, 0.0, abs(v_rest.y) - 0.0);
    if (clothed_top) { colour = cloth(top, coarse, fine, 0.6 * hem); bump = 1.3; }
    if (!on_arm && v_rest.z < waist && v_rest.z > trouser) {
        float side = smoothstep(0.016, 0.008, abs(v_rest.x - 0.005)) + smoothstep(0.012, 0.0, abs(v_rest.z - trouser - 0.012));
        side += smoothstep(0.03, 0.02, abs(v_rest.z - waist + 0.02));
        colour = cloth(bottom, coarse, fine, 0.0) * mix(1.0, 1.7, clamp(side, 0.0, 1.0)); bump = 1.3;
    }
    if (foot > 0.5 && shoes > 0.5) {
        colour = shoe * (0.8 + 0.5 * (fine.r - 0.5));
        if (coarse.g > 0.58) colour *= 0.55;
        bump = 0.5;
    }
    if (head > 0.5 && hair_style > 0.5) {
        bool covered = from_ears.z - 0.9 * from_ears.x > 0.028 - 0.03 * coarse.r;
        bool nape = hair_style > 1.5 && from_ears.x < -0.015 && from_ears.z > -0.13;
        if (covered || nape) { colour = hair * (0.55 + 0.9 * hairs.r); bump = 0.8; }
    }
    bool brow = head > 0.5 && from_ears.x > 0.055 && abs(from_ears.z - 0.047) < 0.006 && abs(abs(from_ears.y) - 0.033) < 0.02;
    bool mouth = head > 0.5 && from_ears.x > 0.07 && abs(from_ears.z + 0.052) < 0.007 && abs(from_ears.y) < 0.024;
    if (brow) colour *= 0.35;
    if (mouth) colour *= vec3(0.75, 0.50, 0.50);
    if (v_part.z > 0.5) colour = abs(abs(from_ears.y) - 0.032) < 0.006 ? vec3(0.05, 0.04, 0.04) : vec3(0.75);
    normal = normalize(normal + bump * (vec3(coarse.r, coarse.g, fine.b) - 0.5));
    seen = vec4(shade(colour * colour, normal, v_world), 1.0);
}
"""
)

DEPTH_VERTEX = """
#version 330
uniform mat4 view;
in vec3 position;
void main() { gl_Position = view * vec4(position, 1.0); }
"""

DEPTH_PIXEL = """
#version 330
void main() {}
"""
